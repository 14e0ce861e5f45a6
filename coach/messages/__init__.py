"""One quiet word a day: who wants one, when it is due, what it says, and that it is sent once."""
