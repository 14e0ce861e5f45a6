"""One function for each thing a person does, one result each; storage and clock come in through ports."""
