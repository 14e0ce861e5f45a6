"""Pure: what of paper is worked out without looking anywhere."""
