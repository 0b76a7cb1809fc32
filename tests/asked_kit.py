"""Points without a deck: combined, and asked."""

from collections.abc import Sequence
from pathlib import Path

from recall.base.finding import Finding
from recall.deck.combine import combine
from recall.deck.material import Material
from recall.deck.model import Source
from recall.kinds.kind import Kind
from recall.kinds.model import Point


def combined(points: Sequence[Point], kinds: Sequence[Kind]) -> tuple[Material, list[Finding]]:
    """The points with their cards, and what is found."""
    material = Material(Source(Path(), ("note.md",), ""), kinds, points=list(points))
    return material, [*combine(material)]
