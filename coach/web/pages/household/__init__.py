"""Pages of the room `household`."""
