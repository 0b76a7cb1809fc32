"""A folder of notes into a deck: record, points, cards, findings; the difference of two decks."""
