"""Makes supplies for tests: the graph of some rows, the deck of a table."""

from recall.base.finding import Place
from recall.deck.read import read_deck
from recall.deck.supply import Supplies
from recall.kinds.model import Point
from recall.kinds.supplies.names import backups_in, names_in
from recall.kinds.supplies.rows import with_row


def point(source, feeds, needs="", backup="", applies=""):
    """One row of a supply."""
    made = Point("supply", ("Topic",), source, Place("note.md", 1), applies=applies)
    return with_row(made, names_in(feeds), names_in(needs), backups_in(backup))


def supplies(*rows):
    """The graph of some rows."""
    return Supplies(point(*row) for row in rows)


def deck_of(tmp_path, *lines, headers="From | Feeds | Also needs | Backup"):
    """A deck of one table, whose first row stands in line 5."""
    cut = "|".join("---" for _ in headers.split("|"))
    table = "\n".join(f"| {line} |" for line in (headers, cut, *lines))
    (tmp_path / "note.md").write_text(f"# Topic\n\n{table}\n", encoding="utf-8")
    return read_deck(tmp_path / "note.md")


def asked(deck, aspect):
    """Subject → answer, of one aspect."""
    return {card.subject: set(card.answer.texts) for card in deck.cards if card.aspect == aspect}
