"""Pages of the room `desk`."""
