"""A card as it was before the last revision that changed its answer."""

from recall.kinds.model import Card
from recall.store.core import Core


def before(core: Core, id: str) -> Card | None:
    """Its wording then; None where its answer never changed."""
    text = core.one("SELECT text.card FROM card JOIN text ON hash = was WHERE id = ?", [id])
    return None if text is None else Card.from_json(text)
