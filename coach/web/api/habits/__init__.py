"""JSON of the room `habits`."""
