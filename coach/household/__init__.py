"""A household's start, settings, data, and the pages open to it."""
