"""A coach's work: the lessons, checks of courses, and the demo household."""
