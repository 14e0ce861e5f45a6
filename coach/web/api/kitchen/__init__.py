"""JSON of the room `kitchen`."""
