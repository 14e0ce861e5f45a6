"""What a desk-work day lists, to-dos in their order, and a quick line read; pure."""
