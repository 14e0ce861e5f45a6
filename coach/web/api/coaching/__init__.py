"""JSON of groups, for coaches, and of what a household asks its coach."""
