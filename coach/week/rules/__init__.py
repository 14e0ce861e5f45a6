"""The week's arithmetic: loads, jobs, moves and balance; pure."""
