"""The commands, one module for each kind of work; each registers its arguments and what they run."""
