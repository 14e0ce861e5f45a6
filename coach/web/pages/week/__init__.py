"""Pages of the room `week`."""
