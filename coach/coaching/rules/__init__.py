"""What is computed of many households without looking anywhere: spells, estimates, what may be shown."""
