"""Pure: whether and when a message is due, worked out without looking anywhere."""
