"""What stands around the habits: areas and their rotation, the week's load, dinner, desk work and errands."""
