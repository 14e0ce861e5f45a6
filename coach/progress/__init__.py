"""Where a household stands: the log and its days, and the fold that turns course and log into a standing."""
