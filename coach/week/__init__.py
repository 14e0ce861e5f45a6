"""The week: its days and minutes, weekday jobs, moves, and balance."""
