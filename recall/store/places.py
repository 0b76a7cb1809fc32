"""Which folders of this machine decks were loaded from."""

from typing import TYPE_CHECKING

from recall.store.core import Core

if TYPE_CHECKING:
    from recall.store.reports import LoadReport


def places_of(core: Core, deck: str) -> list[str]:
    """The folders and lone notes that a deck was loaded from, the latest load first."""
    return [row[0] for row in core.rows("SELECT root FROM source WHERE deck = ? ORDER BY load DESC", [deck])]


def as_loaded(core: Core, place: str) -> "LoadReport":
    """What a load of an unchanged deck says: its cards as they are, nothing changed."""
    from recall.store.reports import LoadReport

    slug = str(core.one("SELECT deck FROM source WHERE root = ?", [place]))
    cards, points = core.rows(
        "SELECT count(*), count(DISTINCT point) FROM card WHERE deck = ? AND present = 1", [slug]
    )[0]
    revision = str(core.one("SELECT revision FROM deck WHERE slug = ?", [slug]) or "")
    return LoadReport(slug, revision, points, cards, in_force=revision, recorded=False)
