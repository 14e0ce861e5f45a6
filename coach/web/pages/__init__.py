"""The pages: one router for each noun; every form works without JavaScript."""
