"""Pages of the room `kitchen`."""
