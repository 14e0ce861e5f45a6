"""Pages of the room `habits`."""
