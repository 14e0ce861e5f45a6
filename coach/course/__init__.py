"""Steps and the graph between them: model, rules of recurrence, reader of folders, check, picture."""
