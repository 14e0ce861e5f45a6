"""JSON of what is hung up or handed over."""
