"""Pure: events and their lines, worked out without looking anywhere."""
