"""The one gate: what an event from outside must be. Whatever comes in by a merge or a file passes here, or is refused
whole by the number of the first bad event.

An event is taken as it is written out or as it lies in another store; the row that is kept is made anew from what was
checked.
"""

import json
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from itertools import accumulate
from typing import Any, TypeVar

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.errors import StoreError
from recall.base.text import digest
from recall.kinds.wording import is_whole
from recall.store.events import END, IN_COLUMNS, Row, row_of, writer_of, written_moment
from recall.store.needs import (
    BESIDE_CONTENT,
    NEEDS,
    Wording,
    check_setting,
    check_texts,
    is_day,
    is_id,
    ordinal,
)

LONGEST_LINE = 1 << 28
"""Characters of one event."""
_DEEPEST = 32
_HELP = "use a file that `recall events` wrote, or a store of recall, as it is"
_LATER = "use a later version of recall"
_STRING = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*(?:"|\\?\Z)', re.DOTALL)
_NO_BRACKETS = re.compile(r"[^\[\]{}]+")

Fields = Mapping[str, Any]
Wordings = dict[str, Wording]
"""By hash."""
Rows = Iterable[tuple[Any, ...]]
Read = TypeVar("Read")


def _row(event_id: Any, type: Any, fields: Fields, wordings: Wordings) -> Row:
    """The row of an event whose every field was checked. Raises ValueError or StoreError."""
    if not is_id(event_id) or not int(event_id[31:]) or int(event_id[:13]) >= END:
        raise ValueError("it has no id of an event")
    if not isinstance(type, str) or type not in NEEDS:
        raise StoreError(f"`{str(type)[:60]}` is no event that this version knows", _LATER)
    needs = NEEDS[type]
    if lacking := [name for name, need in needs.items() if not need.may and name not in fields]:
        raise ValueError(f"it lacks its {' and its '.join(lacking)}")
    if unknown := [name for name in fields if name not in needs]:
        raise StoreError(f"`{unknown[0][:60]}` is nothing that this version knows of it", _LATER)
    for name, value in fields.items():
        needs[name].check(name, value)
    if type == "setting":
        check_setting(fields)
    if type == "deck loaded":
        if any(len(fields[name]) != len(fields["cards"]) for name in ("sources", "also") if name in fields):
            raise ValueError("its `sources` or `also` aren't one a card")
        # Loads of one content are one revision, so what a load calls its content must be that.
        said = {name: value for name, value in fields.items() if name not in BESIDE_CONTENT}
        if digest((json.dumps(said, sort_keys=True),)) != fields["content"]:
            raise ValueError("its `content` isn't the hash of what it says")
        wordings |= check_texts(fields.get("texts", {}))
        fields = {name: value for name, value in fields.items() if name != "texts"}
    return row_of(event_id, type, fields)


def _parsed(text: str) -> Any:
    """JSON as RFC 8259 has it, of bounded length and depth. Raises ValueError."""
    if len(text) > LONGEST_LINE:
        raise ValueError(f"it is longer than {LONGEST_LINE} characters")
    if text.count("[") + text.count("{") > _DEEPEST:
        brackets = _NO_BRACKETS.sub("", _STRING.sub("", text))
        if max(accumulate(1 if each in "[{" else -1 for each in brackets), default=0) > _DEEPEST:
            raise ValueError(f"it is nested more than {_DEEPEST} deep")
    return json.loads(text, parse_constant=_no_number)


def _read_wording(name: str, text: bytes) -> Wordings:
    return check_texts({name: _parsed(text.decode())})


def _no_number(name: str) -> Any:
    raise ValueError(f"{name} is no number")


@dataclass(slots=True)
class Gate:
    """Events that come in together. name: what they come from; unit: how their numbers are called; stands: whether
    a `deck loaded` body is one that is here already."""

    name: str
    unit: str
    stands: Callable[[str], bool]
    persons: set[str] = field(default_factory=set)
    wordings: Wordings = field(default_factory=dict)
    listed: list[tuple[int, str, list[list[Any]]]] = field(default_factory=list)

    def from_json(self, number: int, line: str) -> Row:
        """The row of a line that `recall events` wrote. Raises StoreError."""
        try:
            plain = _parsed(line)
        except (ValueError, RecursionError) as fault:
            raise StoreError(f"{self.name}, {self.unit} {number}, is no JSON: {fault}", _HELP) from fault
        if not isinstance(plain, dict):
            raise StoreError(f"{self.name}, {self.unit} {number}, is no event", _HELP)
        return self._passed(
            f"{self.unit} {number}", lambda: self._kept(number, _from_json(plain, self.wordings))
        )

    def from_row(self, number: int, values: Iterable[bytes | int | float | None], *, sound: bool) -> Row:
        """The row of a row of another store, its texts as bytes. sound: its checksum fits. Raises StoreError."""

        def read() -> Row:
            if not sound:
                raise ValueError("it doesn't fit its checksum: it is damaged")
            row = tuple(each.decode() if isinstance(each, bytes) else each for each in values)
            id, type, card, day, *rest, body = row
            if type == "deck loaded" and isinstance(body, str) and self.stands(body):
                if not (is_id(id) and is_day(day)) or any(each is not None for each in (card, *rest)):
                    raise ValueError("it has no id of an event, or no day")
                return row
            return self._kept(number, _from_row(row, self.wordings))

        return self._passed(f"{self.unit} {number}", read)

    def _passed(self, where: str, read: Callable[[], Read]) -> Read:
        try:
            return read()
        except StoreError as error:
            raise StoreError(f"{self.name}, {where}: {error.what}", error.help) from error
        except (ArithmeticError, LookupError, RecursionError, TypeError, ValueError) as fault:
            raise StoreError(f"{self.name}, {where}: {fault}", _HELP) from fault

    def _kept(self, number: int, row: Row) -> Row:
        if row[1] == "person joined":
            self.persons.add(json.loads(row[-1])["person"])
        if row[1] == "deck loaded":
            said = json.loads(row[-1])
            self.listed.append((number, said["deck"], said["cards"]))
        return row

    def close(
        self, known: Callable[[set[str]], Wordings], theirs: Callable[[set[str]], Rows] | None = None
    ) -> None:
        """Look whether every card that was listed is the one of its wording. known: wordings that are here already;
        theirs: hash and JSON of those that stand beside their events. Raises StoreError."""
        wanted = {entry[2] for _, _, cards in self.listed for entry in cards} - self.wordings.keys()
        here = known(wanted)
        for name, text in theirs(wanted - here.keys()) if theirs is not None else ():
            self.wordings |= self._passed("a wording", partial(_read_wording, name, text))
        here |= self.wordings
        for number, deck, cards in self.listed:
            for card, answer, text, _ in cards:
                found = here.get(text)
                if found is None or found[:3] != (card, answer, deck):
                    what = "is missing" if text not in here else "is another card's"
                    raise StoreError(f"{self.name}, {self.unit} {number}: the wording {text} {what}", _HELP)


def _from_json(plain: Fields, wordings: Wordings) -> Row:
    """The row of an event as it is written out. wordings: takes up each of its wordings.

    Raises ValueError or StoreError, one clear line.
    """
    fields = dict(plain)
    event_id, type = fields.pop("id", None), fields.pop("type", None)
    if not is_id(event_id):
        raise ValueError("that is no event of recall")
    said = {"writer": writer_of(event_id), "n": int(event_id[31:])}
    for name, value in said.items():
        if fields.pop(name, value) != value:
            raise ValueError(f"its `{name}` isn't what its id says")
    if "at" in fields and fields.pop("at") != written_moment(event_id):
        raise ValueError("its `at` isn't what its id says")
    if "day" in fields:
        fields["day"] = ordinal(fields["day"])
    return _row(event_id, type, fields, wordings)


def _from_row(row: Row, wordings: Wordings) -> Row:
    """The row of an event as it lies in a store. The same as `_from_json` otherwise."""
    event_id, type, *columns, body = row
    if not isinstance(body, str):
        raise ValueError("it says nothing")
    said = _parsed(body)
    if not isinstance(said, dict) or said.keys() & set(IN_COLUMNS):
        raise ValueError("its body isn't what an event says")
    card, day, mark, ok, answer, seconds = columns
    if ok is not None and not is_whole(ok, 0, 1):
        raise ValueError("its `right` isn't true, false or left out")
    values = (card, day, mark, None if ok is None else bool(ok), answer, seconds)
    named = {name: value for name, value in zip(IN_COLUMNS, values, strict=True) if value is not None}
    return _row(event_id, type, named | said, wordings)
