"""JSON of the room `calendar`."""
