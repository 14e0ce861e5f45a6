"""Dinners, favourites, shopping, and what has to leave the freezer."""
