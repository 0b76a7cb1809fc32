"""Sets: members in any order, each an answer of its own."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from recall.answers.model import NO_LORE, Answer, Lore, Verdict
from recall.answers.number import NumberAnswer
from recall.answers.words import Typed, Wanted, said_words


@dataclass(frozen=True, slots=True, kw_only=True)
class MembersAnswer(Answer):
    """rungs: its members where they are amounts with their times (a ladder), in the order of the texts; amounts in
    words among them (`take-off power`) have none."""

    form: ClassVar[str] = "set"
    rungs: tuple[NumberAnswer | str, ...] = ()

    @property
    def several(self) -> bool:
        """A line a member; how many there are isn't told."""
        return True

    def data(self) -> Mapping[str, Any]:
        """The rungs, by their texts."""
        if not self.rungs:
            return {}
        rungs = (rung.data() if isinstance(rung, NumberAnswer) else {"words": rung} for rung in self.rungs)
        return {"numbers": dict(zip(self.texts, rungs, strict=True))}

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Members in any order, parted by commas, semicolons, line ends or `and`; a member may itself hold those."""
        read = self._read(given, lore)
        left = read.left(self.texts)
        if not left and not read.added:
            return Verdict(True)
        return Verdict(False, set_why(given, left, read.added), left_out=left, added=read.added)

    def _read(self, given: str, lore: Lore) -> "_Read":
        """Take a typed set apart; where semicolons part it, commas and `and` may belong to the members."""
        given, find = given.replace("\n", "; "), self._finder(lore)
        read = _members(given, _STRONG, self.texts, find)
        if read.added or read.left(self.texts):
            apart = _members(given, _PARTS, self.texts, find)
            read = min(apart, read, key=lambda one: len(one.left(self.texts)))
        return read

    def _finder(self, lore: Lore) -> "Find":
        """Which members a text may be."""
        if self.rungs:
            pairs = list(zip(self.texts, self.rungs, strict=True))
            return lambda given: [text for text, rung in pairs if _is_rung(rung, given)]
        wanted = [(member, Wanted(member)) for member in self.texts]

        def find(given: str) -> list[str]:
            typed = Typed(given)
            return [member for member, words in wanted if words.slips(typed, lore.knows) is not None]

        return find


def _is_rung(rung: NumberAnswer | str, given: str) -> bool:
    if isinstance(rung, str):
        return said_words(given) == said_words(rung)
    return rung.mark(given).right is True


Find = Callable[[str], list[str]]


@dataclass(frozen=True, slots=True)
class _Read:
    """A typed set. found: members in the order typed; added: what is none of them."""

    found: tuple[str, ...]
    added: tuple[str, ...]

    def left(self, answer: Sequence[str]) -> tuple[str, ...]:
        """The members that were left out."""
        return tuple(member for member in answer if member not in self.found)


def _members(given: str, separator: re.Pattern[str], answer: Sequence[str], find: Find) -> _Read:
    """Find the members in the pieces of a text, of which several may make up one, as many as the longest has."""
    pieces = _pieces(given, separator)
    most = max(len(_pieces(member, separator)) for member in answer)
    found: list[str] = []
    added: list[str] = []
    at = 0
    while at < len(pieces):
        for length in range(min(most, len(pieces) - at), 0, -1):
            members = find(_joined(pieces[at : at + length]))
            if members:
                found.append(next((member for member in members if member not in found), members[0]))
                at += length
                break
        else:
            added.append(pieces[at][0])
            at += 1
    return _Read(tuple(found), tuple(added))


def set_why(given: str, left: Sequence[str], added: Sequence[str]) -> str:
    """How many members are missing and how many too many."""
    if not given:
        return "nothing was typed"
    parts = []
    if left:
        parts.append(f"{len(left)} left out")
    if added:
        parts.append(f"{len(added)} too many")
    return " and ".join(parts)


_AND = r"(?:(?:and|&)\s+)?"
_PARTS = re.compile(
    rf"(\s*;\s*{_AND}|\s*(?:(?<!\d),|,(?!\d{{3}}\b))\s*{_AND}|\s+(?:and|&)\s+)", re.IGNORECASE
)
"""A comma between digits groups them where three follow."""
_STRONG = re.compile(rf"(\s*;\s*{_AND})", re.IGNORECASE)


def _pieces(given: str, separator: re.Pattern[str]) -> list[tuple[str, str]]:
    """What was typed, in pieces, each with the separator behind it."""
    parts = separator.split(given)
    pieces = list(zip(parts[::2], [*parts[1::2], ""], strict=True))
    return [(text.strip(), between) for text, between in pieces if text.strip()]


def _joined(pieces: Sequence[tuple[str, str]]) -> str:
    return "".join(text + between for text, between in pieces[:-1]) + pieces[-1][0]
