"""Pages of the room `calendar`, and the feeds themselves."""
