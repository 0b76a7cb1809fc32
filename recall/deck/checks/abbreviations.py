"""`undefined-abbreviation`: used often in running text and never explained."""

import re
from collections import Counter
from collections.abc import Iterator

from recall.base.finding import Finding, Place, finding
from recall.deck.checks.material import Material
from recall.notes.model import Block, Item, List, Paragraph, Text

_CAPITALS = re.compile(r"(?<![\w-])[A-Z]{2,6}(?![\w-])")
_OFTEN = 5


def check(material: Material) -> list[Finding]:
    """Capitals of two to six letters, five times or more; captions and switch positions of the deck aside."""
    known = _known(material)
    count: Counter[str] = Counter()
    first: dict[str, Place] = {}
    for note in material.notes:
        for text in _running(note.blocks):
            for found in _CAPITALS.finditer(text.plain):
                word = found.group()
                count[word] += 1
                first.setdefault(word, text.place)
    return [
        finding(
            "undefined-abbreviation",
            first[word],
            f"`{word}` is used {times} times and never explained",
            "add it to the deck's abbreviations",
        )
        for word, times in count.items()
        if times >= _OFTEN and word not in known
    ]


def _known(material: Material) -> set[str]:
    known: set[str] = set()
    for asked in material.asked:
        point = asked.point
        known.update(_CAPITALS.findall(point.subject))
        if point.kind in ("setting", "indication"):
            for words in point.fields.values():
                for text in words:
                    known.update(_CAPITALS.findall(text))
    return known


def _running(blocks: tuple[Block, ...]) -> Iterator[Text]:
    for block in blocks:
        if isinstance(block, Paragraph):
            yield block.text
        elif isinstance(block, List):
            yield from _listed(block.items)


def _listed(items: tuple[Item, ...]) -> Iterator[Text]:
    for item in items:
        yield item.text
        yield from _running(item.below)
