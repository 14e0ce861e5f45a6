"""The JSON interface: one router for each noun, all under `/api`."""
