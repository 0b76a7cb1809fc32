"""A folder of notes into a deck: record, points, cards, findings; the difference of two decks.

Reading needs the parser and all kinds, so it is imported from where it stands (`recall.deck.read`); what a
deck is, from `recall.deck.model`, costs nothing.
"""
