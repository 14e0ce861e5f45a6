"""How long it takes: exact, simulated for many households at once, and forecast for one; pure, over NumPy."""
