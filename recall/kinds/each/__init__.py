"""One file a kind: what it is called, what a table of it has, what it asks."""
