"""The page in a folder: the same program inside a browser, for a tablet without a network."""
