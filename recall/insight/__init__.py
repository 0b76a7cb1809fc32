"""What the history says: weak topics, confusions, the load ahead."""
