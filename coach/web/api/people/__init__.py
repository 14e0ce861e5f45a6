"""JSON of the room `people`."""
