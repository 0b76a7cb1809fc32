"""A card's wording as it comes in from outside, read strictly."""

import json
import math
import random
from itertools import repeat
from typing import Any, NamedTuple

from recall.answers import FORMS, Answer
from recall.base import regex as re
from recall.base.dataclass import fields
from recall.base.errors import RecallError
from recall.base.text import canonical
from recall.kinds.marking import pose
from recall.kinds.model import Card

NAME = re.compile(r"[0-9a-f]{20}")
"""An id, or the hash of an answer or a wording."""
SLUG = re.compile(r"[a-z0-9-]{1,64}")
LONGEST = 1 << 20
"""Characters of one text, as of one line of a note."""
DEEPEST = 16
_TEXTS = ("kind", "aspect", "subject", "condition", "applies", "prompt", "file", "cite", "why")
_LONGEST_FORM = 80
_MOST_TRIED = 20_000
_TRIED: dict[str, Answer] = {}
"""Answers that were put and marked once, by their JSON: another question with the same one needn't be tried."""
_KEYS = frozenset(each.name for each in fields(Card)) - {"source", "near", "also", "key"} | {"form", "data"}


def read_wording(plain: Any) -> Card:
    """The card that `Card.to_json` wrote, from its JSON. Raises ValueError, one clear line, for anything else."""
    if not isinstance(plain, dict) or plain.keys() != _KEYS:
        raise ValueError("a wording doesn't have the fields of a card")
    for name in ("id", "point", "answer_hash"):
        if not _matches(NAME, plain[name]):
            raise ValueError(f"a wording's `{name}` isn't 20 hexadecimal digits")
    if not _matches(SLUG, plain["deck"]):
        raise ValueError("a wording's `deck` is no deck's name")
    if wrong := [name for name in _TEXTS if not is_text(plain[name])]:
        raise ValueError(f"a wording's `{wrong[0]}` is no text")
    if not (is_texts(plain["topic"]) and is_texts(plain["answer"])):
        raise ValueError("a wording's topic and answer aren't lists of texts")
    if type(plain["critical"]) is not bool or not is_whole(plain["line"], 0, 1 << 31):
        raise ValueError("a wording's `critical` or `line` isn't what it must be")
    if not isinstance(plain["form"], str) or plain["form"] not in FORMS:
        raise ValueError("a wording is to be answered in no form that this version knows")
    extra = plain["extra"]
    if not isinstance(extra, list) or not all(is_texts(pair) and len(pair) == 2 for pair in extra):
        raise ValueError("a wording's `extra` aren't pairs of texts")
    said = canonical((plain["form"], plain["aspect"], plain["answer"], plain["data"]))
    tried = _TRIED.get(said)
    if tried is None and not (isinstance(plain["data"], dict) and is_plain(plain["data"])):
        raise ValueError("a wording's `data` is no plain data")
    try:
        card = Card.from_plain(plain, tried)
        if tried is None:
            pose(card, random.Random(0)).mark("0")
            if not (card.answer.texts or card.answer.drawn):
                raise ValueError("nothing is right")
    except (ArithmeticError, AttributeError, LookupError, RecallError, TypeError, ValueError) as fault:
        raise ValueError(f"a wording can't be asked (`{plain['prompt'][:60]}`)") from fault
    if len(_TRIED) < _MOST_TRIED:
        _TRIED[said] = card.answer
    return card


_RUN = r'[^"\\\x00-\x1f]*+'
_INSIDE = rf'{_RUN}(?:\\(?:["\\bfnrt]|u00(?:0[0-7bef]|1[0-9a-f])){_RUN})*+'
WRITTEN = f'"{_INSIDE}"'
"""A text just as `canonical` writes it."""
_TEXTS_WRITTEN = rf"(?:{WRITTEN}(?:,{WRITTEN})*)?"
WRITTEN_LIST = rf"\[({_TEXTS_WRITTEN})\]"
_PAIRS = rf"\[(?:\[{WRITTEN},{WRITTEN}\](?:,\[{WRITTEN},{WRITTEN}\])*)?\]"
_SAID, _NAMED = f'"({_INSIDE})"', f'"({NAME.pattern})"'
WRITTEN_WORDING = (
    rf'\{{"answer":{WRITTEN_LIST},"answer_hash":{_NAMED},"applies":{_SAID},"aspect":{_SAID}'
    rf',"cite":{WRITTEN},"condition":{WRITTEN},"critical":(true|false),"data":(\{{.*\}}),"deck":{_SAID}'
    rf',"extra":{_PAIRS},"file":{_SAID},"form":{_SAID},"id":{_NAMED},"kind":{_SAID},"line":0'
    rf',"point":{_NAMED},"prompt":{WRITTEN},"subject":{WRITTEN},"topic":(\[{_TEXTS_WRITTEN}\]),"why":{WRITTEN}\}}'
)
"""A wording just as `Card.to_json` writes it, but for what `data` holds."""


class Face(NamedTuple):
    """What of a wording stands in a list of cards. topic: as JSON; critical: 1 or 0; form: by what its answer is
    found when it was given instead of another's."""

    deck: str
    point: str
    kind: str
    aspect: str
    topic: str
    applies: str
    file: str
    critical: int
    form: str

    @classmethod
    def of(cls, card: Card) -> "Face":
        """Of a card that was read."""
        return cls(
            card.deck, card.point, card.kind, card.aspect, canonical(card.topic), card.applies, card.file,
            int(card.critical), _found_by(card.answer),
        )  # fmt: skip


def _found_by(answer: Answer) -> str:
    form = answer.key
    return form if len(form) <= _LONGEST_FORM else ""


def glance(wording: str) -> str:
    """The `form` of a wording that WRITTEN_WORDING matched, read strictly.

    Raises ValueError as `read_wording` does, and where `data` isn't written as it is.
    """
    plain = json.loads(wording)
    form = _found_by(read_wording(plain).answer)
    if canonical(plain) != wording:
        raise ValueError("its wording isn't written as wordings are")
    return form


def texts_in(written: str) -> list[str]:
    """The texts in the group of WRITTEN_LIST."""
    if "\\" in written:
        return list(json.loads(f"[{written}]"))
    return written[1:-1].split('","') if written else []


def _matches(pattern: re.Pattern[str], value: Any) -> bool:
    return isinstance(value, str) and pattern.fullmatch(value) is not None


def is_text(value: Any, longest: int = LONGEST) -> bool:
    """Whether it is a text that can be written as UTF-8, not too long."""
    if not isinstance(value, str) or len(value) > longest:
        return False
    return value.isascii() or not any("\ud800" <= letter <= "\udfff" for letter in value)


def is_texts(value: Any) -> bool:
    """Whether it is a list of such texts."""
    return isinstance(value, list) and all(map(is_text, value))


def is_whole(value: Any, low: int, high: int) -> bool:
    """Whether it is a whole number in a range, ends included."""
    return type(value) is int and low <= value <= high


def is_number(value: Any, low: float, high: float) -> bool:
    """Whether it is a number in a range, ends included; never infinite or undefined."""
    return type(value) in (int, float) and low <= value <= high


def is_plain(value: Any, depth: int = DEEPEST) -> bool:
    """Whether it is JSON of texts, finite numbers and truth values, nested no deeper than `depth`."""
    if isinstance(value, str):
        return is_text(value)
    if isinstance(value, dict | list):
        inside = value.values() if isinstance(value, dict) else value
        names = value if isinstance(value, dict) else ()
        return depth > 0 and all(map(is_text, names)) and all(map(is_plain, inside, repeat(depth - 1)))
    if isinstance(value, float):
        return math.isfinite(value)
    return value is None or isinstance(value, bool | int)
