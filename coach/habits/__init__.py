"""The day and its marks, the path, the steps, and pauses."""
