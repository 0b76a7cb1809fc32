"""One SQLite file a person: events are the truth, the rest is derived."""
