"""`undefined-abbreviation`: used often, in running text or in names, and never explained."""

from collections import Counter

from recall.base import regex as re
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line
from recall.deck.material import Material
from recall.kinds.plain import running
from recall.kinds.prose.lexicon import SIGNALS, STRESSED
from recall.kinds.prose.shortform import agrees, explained
from recall.kinds.steps.telling import is_position
from recall.notes.model import Text
from recall.quantity import find_unit

_CAPITALS = re.compile(r"(?<![\w-])[A-Z]{2,6}(?![\w-])")
_WORD = re.compile(r"[^\W\d_]+")
_BESIDE = re.compile(r"(?<![\w-])([A-Z]{2,6}) \(([^()]{2,80})\)")
_NUMERAL = re.compile(r"[IVX]+")
_OFTEN = 5
_NAMES = 3
"""How many names of points, which are asked about, are as much in a deck; a lone note has no place for them."""


def check(material: Material) -> list[Finding]:
    """Capitals of two to six letters, five times or more, or in three names of points; captions and switch
    positions, units, numerals and stressed words aside, and what the text itself explains in brackets."""
    known = _known(material)
    count: Counter[str] = Counter()
    first: dict[str, Place] = {}
    for note in material.notes:
        for text in running(note.blocks):
            words = _said(text)
            known |= {term for term, _ in explained(words)}
            known |= {term for term, meaning in _BESIDE.findall(words) if agrees(term, meaning)}
            for found in _CAPITALS.finditer(words):
                word = found.group()
                count[word] += 1
                first.setdefault(word, text.place)
    names = {
        one_line(asked.point.subject).casefold(): asked.point
        for asked in reversed(material.asked)
        if asked.point.kind not in ("abbreviation", "setting", "indication", "question")
    }
    named: Counter[str] = Counter()
    for point in reversed(names.values()):
        capitals = _CAPITALS.findall(point.subject)
        for word in dict.fromkeys(capitals) if capitals and _shouts(point.subject) else ():
            named[word] += 1
            first.setdefault(word, point.place)
    return [
        finding(
            "undefined-abbreviation",
            first[word],
            f"`{word}` is used {count[word] + named[word]} times and never explained",
            "add it to the deck's abbreviations",
        )
        for word in first
        if (count[word] >= _OFTEN or (named[word] >= _NAMES and not material.source.lone))
        and word not in known
        and not _is_plain(word)
    ]


def _known(material: Material) -> set[str]:
    known: set[str] = set()
    for asked in material.asked:
        point = asked.point
        if point.kind == "abbreviation":
            known.add(point.subject)
            known.update(_CAPITALS.findall(point.subject))
        elif point.kind in ("setting", "indication"):
            for text in (point.subject, *(words for field in point.fields.values() for words in field)):
                known.update(_CAPITALS.findall(text))
    return known


def _said(text: Text) -> str:
    """The words of a text without code; nothing of a line that is all in capitals."""
    return _shouts(" ".join(run.text for run in text.runs if not run.code) if text.runs else text.plain)


def _shouts(words: str) -> str:
    """Words; nothing where nearly all are in capitals."""
    spelled = [word for word in _WORD.findall(words) if len(word) > 1]
    shouted = sum(word.isupper() for word in spelled)
    return "" if shouted > 2 and shouted * 2 > len(spelled) else words


def _is_plain(word: str) -> bool:
    """Whether capitals are a stressed word, a position, a numeral or a unit."""
    lower = word.casefold()
    return (
        lower in STRESSED
        or lower in SIGNALS
        or is_position(lower)
        or _NUMERAL.fullmatch(word) is not None
        or find_unit(word) is not None
    )
