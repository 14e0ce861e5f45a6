"""JSON of the room `areas`."""
