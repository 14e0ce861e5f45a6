"""Pages and JSON: two renderings of what the services answer."""
