"""The areas' rules: division, rotation, passes, and whether it is enough; pure."""
