"""Dues, to-dos, errands, and the quick line."""
