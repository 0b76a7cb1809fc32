"""What each type of event says, field by field: types, ranges, sizes."""

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, NamedTuple

from recall.base import regex as re
from recall.base.clock import FIRST_DAY, LAST_DAY
from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.base.settings import setting_value
from recall.base.text import canonical
from recall.kinds.model import digest
from recall.kinds.wording import NAME, SLUG, is_number, is_plain, is_text, is_texts, is_whole, read_wording
from recall.schedule import Parameters, check
from recall.store.events import ID, LONGEST_TEXT, MOST_SECONDS

_LONGEST_SHIFT = 230 * 366 * 86_400.0
_REVISION = re.compile(r"(?:[0-9]{1,9}(?:\.[0-9]{1,9}){0,7})?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

Fields = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Need:
    """What a field must be. right: what would be right, in words; may: it may be left out."""

    fits: Callable[[Any], bool]
    right: str
    may: bool = False

    def check(self, name: str, value: Any) -> None:
        """Raises ValueError where a field's value isn't that."""
        if not self.fits(value):
            raise ValueError(f"its `{name}` isn't {self.right}")


def _matching(pattern: str | re.Pattern[str]) -> Callable[[Any], bool]:
    compiled = re.compile(pattern)
    return lambda value: isinstance(value, str) and compiled.fullmatch(value) is not None


def _one_of(*values: Any) -> Callable[[Any], bool]:
    return lambda value: any(value is each or (type(value) is str and value == each) for each in values)


def is_day(value: Any) -> bool:
    """Whether it is the number of a day from 1970 to 2199."""
    return is_whole(value, FIRST_DAY.toordinal(), LAST_DAY.toordinal())


def _list_of(fits: Callable[[Any], bool]) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, list) and all(map(fits, value))


def _dict_of(fits_name: Callable[[Any], bool], fits: Callable[[Any], bool]) -> Callable[[Any], bool]:
    return lambda value: (
        isinstance(value, dict) and all(map(fits_name, value)) and all(map(fits, value.values()))
    )


def ordinal(value: Any) -> int | None:
    """The number of a day in ISO 8601, from 1970 to 2199; None for anything else."""
    if not isinstance(value, str) or not _DAY.fullmatch(value):
        return None
    try:
        number = date.fromisoformat(value).toordinal()
    except ValueError:
        return None
    return number if is_day(number) else None


def _is_record(value: Any) -> bool:
    """A deck's record, as its event tells it."""
    if not isinstance(value, dict) or not is_plain(value):
        return False
    texts = ("deck", "title", "formerly", "revision", "authority", "applies_to", "marking", "licence")
    if not all(isinstance(value.get(name, ""), str) for name in texts):
        return False
    if not is_texts(value.get("authors", [])) or not _dict_of(is_text, is_text)(value.get("aircraft", {})):
        return False
    review_by, blueprint = value.get("review_by"), value.get("checkride")
    return (review_by is None or ordinal(review_by) is not None) and (
        blueprint is None or _is_blueprint(blueprint)
    )


def _is_blueprint(value: Any) -> bool:
    if not isinstance(value, dict) or value.keys() != {"pass_mark", "questions", "each_area"}:
        return False
    mark, asked = value["pass_mark"], _dict_of(is_text, lambda number: is_whole(number, 0, 1000))
    return (
        (mark is None or is_whole(mark, 1, 100))
        and asked(value["questions"])
        and type(value["each_area"]) is bool
    )


def _is_card(entry: Any) -> bool:
    """A card as a revision lists it: id, hash of the answer, hash of the wording, line."""
    if not isinstance(entry, list) or len(entry) != 4:
        return False
    return all(map(_is_name, entry[:3])) and is_whole(entry[3], 0, 1 << 31)


BESIDE_CONTENT = frozenset(("content", "day", "texts", "notes", "reading", "earlier"))
"""What a load says beside its content."""


def _is_earlier(said: Any) -> bool:
    """What is told of an earlier load: its notes, and the source of each of its cards."""
    if not isinstance(said, dict) or said.keys() != {"notes", "sources"}:
        return False
    return _is_source(said["notes"]) and _dict_of(_is_source, _is_source)(said["sources"])


def _are_parameters(value: Any) -> bool:
    if not isinstance(value, list) or not all(is_number(weight, -1e6, 1e6) for weight in value):
        return False
    try:
        check(Parameters.of(value))
    except (RecallError, ArithmeticError):
        return False
    return True


is_id = _matching(ID)
_is_name, _is_source = _matching(NAME), _matching(rf"(?:{NAME.pattern})?")
_NAMED = Need(_is_name, "20 hexadecimal digits")
_DAYS = Need(is_day, "a day from 1970 to 2199")
_WORDS = Need(lambda value: is_text(value, LONGEST_TEXT), f"a text of at most {LONGEST_TEXT} characters")
_DECK = Need(_matching(SLUG), "a deck's name")
_FIGURE = Need(lambda value: is_number(value, -1e12, 1e12), "a number", may=True)
_NUMBERED = Need(_matching(_REVISION), "a whole or dotted number")
_FLAG = Need(lambda value: type(value) is bool, "true or false", may=True)

NEEDS: dict[str, dict[str, Need]] = {
    "reviewed": {
        "card": _NAMED,
        "day": _DAYS,
        "answer_hash": _NAMED,
        "mark": Need(lambda value: is_whole(value, 1, 4), "1, 2, 3 or 4"),
        "deck": _DECK,
        "revision": _NUMBERED,
        "given": _WORDS,
        "mode": Need(_one_of("daily", "plan", "oral"), "daily, plan or oral"),
        "right": Need(_one_of(None, True, False), "true, false or left out", may=True),
        "overruled": _FLAG,
        "marked_by": Need(_one_of("program", "self", "examiner"), "program, self or examiner", may=True),
        "seconds": Need(
            lambda value: value is None or is_number(value, 0, MOST_SECONDS),
            f"seconds from 0 to {MOST_SECONDS}",
            may=True,
        ),
        "claimed": Need(_one_of(True), "true or left out", may=True),
        "drawn": Need(_one_of(True), "true or left out", may=True),
        "sitting": Need(_matching(r"[0-9]{13}-[0-9a-f]{8}"), "the id of a sitting", may=True),
        "of": Need(lambda value: is_whole(value, 1, 100_000), "a number of questions", may=True),
    },
    "deck loaded": {
        "deck": _DECK,
        "revision": _NUMBERED,
        "day": _DAYS,
        "effective": Need(
            lambda value: value is None or ordinal(value) is not None,
            "a day from 1970 to 2199, or nothing",
            may=True,
        ),
        "formerly": Need(_matching(r"[a-z0-9-]{0,64}"), "a deck's name, or empty"),
        "record": Need(_is_record, "a deck's record"),
        "cards": Need(_list_of(_is_card), "a list of cards"),
        "paused_points": Need(_list_of(_is_name), "a list of ids"),
        "paused_files": Need(is_texts, "a list of texts"),
        "content": _NAMED,
        "texts": Need(lambda value: isinstance(value, dict), "wordings by their hashes", may=True),
        "renamed": Need(_dict_of(_is_name, _is_name), "card ids by card ids", may=True),
        "notes": Need(_matching(r"[0-9a-f]{0,20}"), "a digest of notes", may=True),
        "reading": replace(_WORDS, may=True),
        "sources": Need(_list_of(_is_source), "a list of digests", may=True),
        "also": Need(_list_of(_list_of(_is_source)), "lists of hashes", may=True),
        "earlier": Need(_dict_of(_is_name, _is_earlier), "what was read of earlier loads", may=True),
    },
    "undone": {"review": Need(is_id, "the id of a review")},
    "carried": {"from": _NAMED, "to": _NAMED},
    "remarked": {"card": _NAMED, "text": _WORDS},
    "setting": {"name": _WORDS, "value": Need(lambda value: True, "")},
    "tuned": {
        "parameters": Need(_are_parameters, "what the memory model computes with"),
        **dict.fromkeys(("answers", "before", "after"), _FIGURE),
    },
    "person joined": {"person": _NAMED},
    "clock corrected": {
        "of": Need(_matching(r"[0-9a-f]{16}"), "a run of the program"),
        "shift": Need(
            lambda value: is_number(value, -_LONGEST_SHIFT, _LONGEST_SHIFT), "seconds, at most 230 years"
        ),
        "days": Need(lambda value: is_whole(value, -84_180, 84_180), "whole days, at most 230 years"),
        "instead": Need(_list_of(is_id), "a list of events", may=True),
    },
}
"""What each type of event says, and nothing else."""

PUBLISHER = "publisher of "
"""Before the name of a deck: which keys it is held to."""
SIGNED = "signed "
"""Before a deck's name and a number: who signed which notes under it."""
HAND_IN = "hand-in"
"""The secret which a person's keys for classes are made from."""
PLAN_TOLD = "plan told"
"""A plan in words, for a device that can't compute one."""
MOST_KEYS = 64
"""Keys that a deck is held to."""
_SLUG, _KEY = SLUG.pattern, r"[0-9a-f]{64}"
BESIDE = {
    rf"{PUBLISHER}{_SLUG}": Need(_matching(rf"(?:{_KEY}(?: {_KEY}){{0,{MOST_KEYS - 1}}})?"), "a deck's keys"),
    rf"{SIGNED}{_SLUG} (?=.){_REVISION.pattern}": Need(
        _matching(rf"{_KEY} {_KEY}"), "a key and a hash of notes"
    ),
    HAND_IN: Need(_matching(_KEY), "a secret of hand-ins"),
    PLAN_TOLD: _WORDS,
}
"""What is kept as a setting and isn't the person's: what its name matches → its value."""


def check_setting(fields: Fields) -> None:
    """A setting as `recall settings` takes it, or what is kept as one beside."""
    name, value = fields["name"], fields["value"]
    for form, need in BESIDE.items():
        if re.fullmatch(form, name):
            need.check("value", value)
            return
    if type(value) not in (str, int, float) or not (is_text(str(value), LONGEST_TEXT)):
        raise ValueError("its `value` is neither a text nor a number")
    try:
        read = setting_value(name, str(value))
    except RecallError as error:
        raise ValueError(error.what) from error
    except OverflowError:
        raise ValueError(f"`{name}` can't be that large") from None
    if read != value or isinstance(read, str) is not isinstance(value, str):
        raise ValueError(f"`{str(value)[:60]}` isn't what `{name}` can be")


class Wording(NamedTuple):
    """What a wording says to the list of cards that names it. text: all of it, as JSON."""

    card: str
    answer: str
    deck: str
    text: str = ""


def check_texts(texts: Mapping[str, Any]) -> dict[str, Wording]:
    """Wordings that hash to their names. Raises ValueError."""
    found = {}
    for name, plain in texts.items():
        card, text = read_wording(plain), canonical(plain)
        if card.line or digest((text,)) != name:
            raise ValueError(f"the wording {name[:40]} isn't the one that this hash names")
        found[name] = Wording(card.id, card.answer_hash, card.deck, text)
    return found
