"""Right or wrong for an answer, by the form of the question. The same rules behind every front end."""

import random
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from recall.base.text import one_line
from recall.kinds.model import Card
from recall.kinds.words import Known, Part, Typed, Wanted, mark_words, nothing_known, said_words, word_by_word


@dataclass(frozen=True, slots=True)
class Question:
    """A card as it is put. card: with the prompt and answer of this very question (a reading is drawn afresh)."""

    card: Card
    typed: bool
    """The person types the answer; otherwise it is revealed and the person marks it."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """right: None where the person decides. why: one plain sentence, empty where right. parts: a wrong text word
    by word. left_out, added: members of a set. note: what was forgiven, or how it was read."""

    right: bool | None
    why: str = ""
    parts: tuple[Part, ...] = ()
    left_out: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    note: str = ""


def pose(card: Card, rng: random.Random) -> Question:
    """Put a card as a question: a reading is drawn, all else is asked as it stands."""
    if card.form == "reading":
        from recall.kinds.limits.draw import draw_reading

        prompt, answer, explained = draw_reading(card, rng)
        card = replace(card, prompt=prompt, answer=(answer,), why=explained)
    return Question(card, typed=card.form != "prose")


def mark(question: Question, given: str, known: Known = nothing_known) -> Verdict:
    """Mark what a person typed. known: whether a word stands in the deck, where no slip is forgiven."""
    card = question.card
    return _MARKERS[card.form](card, given.strip(), known)


def _prose(card: Card, given: str, known: Known) -> Verdict:
    return Verdict(None)


def _words(card: Card, given: str, known: Known) -> Verdict:
    accepted = [card.answer[0], *card.data.get("also", ())]
    verdicts = [mark_words(given, right, known) for right in accepted]
    right = next((verdict for verdict in verdicts if verdict.right), None)
    if right is not None:
        return Verdict(True, note=f"spelt {', '.join(right.slips)}" if right.slips else "")
    return Verdict(False, verdicts[0].why, verdicts[0].parts)


def _case_counts(card: Card, given: str, known: Known) -> Verdict:
    """A term whose case tells it from another of the deck (`Vc`, `vC`)."""
    if given in card.data.get("not", ()):
        return Verdict(False, f"`{given}` is another one of this deck", word_by_word(given, card.answer[0]))
    return _words(card, given, known)


def _exact(card: Card, given: str, known: Known) -> Verdict:
    """Recited: case, blanks and punctuation forgiven, nothing else. Of several steps, those left out are named."""
    wanted = " ".join(card.answer)
    if given and _letters(given) == _letters(wanted):
        return Verdict(True)
    if not given:
        return Verdict(False, "nothing was typed")
    found, left, added = _recited(given, card.answer)
    if not found:
        return Verdict(False, "the words differ", word_by_word(given, wanted))
    order = "in another order" if found != sorted(found) else ""
    if not left and not added:
        return Verdict(False, f"all there, {order}" if order else "the words differ")
    why = _set_why(given, left, added) + (f"; the rest {order}" if order else "")
    return Verdict(False, why, left_out=left, added=added)


def _recited(given: str, steps: Sequence[str]) -> tuple[list[int], tuple[str, ...], tuple[str, ...]]:
    """Which steps stand whole in what was typed, in the order typed; steps left out; runs of words that are none."""
    typed = said_words(given)
    owner: list[int | None] = [None] * len(typed)
    words = [said_words(step) for step in steps]
    for step in sorted(range(len(steps)), key=lambda step: -len(words[step])):
        wide = len(words[step])
        for at in range(len(typed) - wide + 1):
            if typed[at : at + wide] == words[step] and owner[at : at + wide] == [None] * wide:
                owner[at : at + wide] = [step] * wide
                break
    runs = [(step, [typed[at] for at in run]) for step, run in groupby(range(len(typed)), owner.__getitem__)]
    found = [step for step, _ in runs if step is not None]
    left = tuple(text for step, text in enumerate(steps) if step not in found)
    return found, left, tuple(" ".join(run) for step, run in runs if step is None and run != ["and"])


def _letters(text: str) -> str:
    return "".join(said_words(text))


def _number(card: Card, given: str, known: Known) -> Verdict:
    from recall.kinds.numbers import mark_number, typed_unit

    right, why = mark_number(card.answer[0], given, card.data)
    other = typed_unit(given, card.data) if right else ""
    return Verdict(
        right, why, note=f"{one_line(given)} is {card.answer[0]}, to its last digit" if other else ""
    )


def _reading(card: Card, given: str, known: Known) -> Verdict:
    """Inside or outside, whole or as it begins."""
    typed = one_line(given).casefold()
    if typed and any(word.startswith(typed) for word in ("inside", "outside")):
        right = card.answer[0].startswith(typed)
        return Verdict(right, "" if right else f"it is {card.answer[0]}")
    return Verdict(False, "the answer is `inside` or `outside`")


Find = Callable[[str], list[str]]


def _finder(card: Card, known: Known) -> Find:
    """Which members of a set a text may be: compared as a quantity where members are, as words otherwise."""
    if card.data.get("numbers"):
        from recall.kinds.numbers import mark_number

        return lambda given: [member for member in card.answer if mark_number(member, given, card.data)[0]]
    wanted = [(member, Wanted(member)) for member in card.answer]

    def find(given: str) -> list[str]:
        typed = Typed(given)
        return [member for member, words in wanted if words.slips(typed, known) is not None]

    return find


@dataclass(frozen=True, slots=True)
class _Read:
    """A typed set. found: members in the order typed; added: what is none of them."""

    found: tuple[str, ...]
    added: tuple[str, ...]

    def left(self, answer: Sequence[str]) -> tuple[str, ...]:
        """The members that were left out."""
        return tuple(member for member in answer if member not in self.found)


def _read_set(card: Card, given: str, known: Known) -> _Read:
    """Take a typed set apart; where semicolons part it, commas and `and` may belong to the members."""
    given, find = given.replace("\n", "; "), _finder(card, known)
    read = _members(given, _STRONG, card.answer, find)
    if read.added or read.left(card.answer):
        apart = _members(given, _PARTS, card.answer, find)
        read = min(apart, read, key=lambda one: len(one.left(card.answer)))
    return read


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


def _set(card: Card, given: str, known: Known) -> Verdict:
    """Members in any order, parted by commas, semicolons, line ends or `and`; a member may itself hold those."""
    read = _read_set(card, given, known)
    left = read.left(card.answer)
    if not left and not read.added:
        return Verdict(True)
    return Verdict(False, _set_why(given, left, read.added), left_out=left, added=read.added)


def _set_why(given: str, left: Sequence[str], added: Sequence[str]) -> str:
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


_MARKERS: dict[str, Callable[[Card, str, Known], Verdict]] = {
    "number": _number,
    "words": _words,
    "term": _case_counts,
    "set": _set,
    "exact": _exact,
    "prose": _prose,
    "reading": _reading,
}
