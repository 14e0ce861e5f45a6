"""Thawing times and shopping lines; pure."""
