"""Pages of the room `areas`."""
