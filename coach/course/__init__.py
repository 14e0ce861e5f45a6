"""Steps and the graph between them: the model, the reader of course folders, the check, the picture's layout."""
