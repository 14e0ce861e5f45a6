"""JSON of the room `week`."""
