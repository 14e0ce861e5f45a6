"""Pages of groups, for coaches, and what a household asks its coach."""
