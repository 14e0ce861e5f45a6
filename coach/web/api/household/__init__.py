"""JSON of the room `household`."""
