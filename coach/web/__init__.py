"""Pages and JSON: two renderings of what the use cases answer."""
