"""Today's page brought together from the rooms."""
