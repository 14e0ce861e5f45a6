"""What a calendar program is told: the events of the coming days as a feed, and who may fetch it."""
