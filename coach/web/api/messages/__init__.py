"""JSON of the room `messages`."""
