"""JSON of the room `desk`."""
