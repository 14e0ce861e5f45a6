"""The areas of a home: dividing, tasks, turns, and this week's list."""
