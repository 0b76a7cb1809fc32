"""A typed amount against the right one, by the data on its card."""

from collections.abc import Mapping
from typing import Any

from recall.base.text import one_line
from recall.kinds.limits.data import reading_from
from recall.kinds.words import said_words
from recall.quantity import matches_whole, read_whole_answer


def mark_number(right: str, given: str, data: Mapping[str, Any]) -> tuple[bool, str]:
    """Whether an amount is right, and why not. right: the answer as shown.

    data: of the card; `right` holds the amount, or `numbers` one such entry for each member of a set, by its
    shown text. An entry may have `time`, words behind the amount (`continuous`), or nothing but words.
    """
    entry = data["numbers"][right] if "numbers" in data else data
    typed = one_line(given)
    if time := entry.get("time", ""):
        amount, found, behind = typed.casefold().rpartition(time.casefold())
        if not found or behind.strip(" .)"):
            return False, "the time is missing"
        typed = typed[: len(amount)].rstrip(" ,:(")
    if "right" not in entry:
        same = said_words(typed) == said_words(entry["words"])
        return same, "" if same else "the words differ"
    reading = reading_from(entry["right"])
    answer = read_whole_answer(typed, unit_hint=reading.spans[0].unit)
    if answer is None:
        return False, "no amount could be read from that" if typed else "nothing was typed"
    match = matches_whole(answer, reading)
    return match.right, match.why


def typed_unit(given: str, data: Mapping[str, Any]) -> str:
    """The unit that was typed, where it isn't the right answer's own; empty otherwise."""
    if "right" not in data:
        return ""
    due = reading_from(data["right"]).spans[0].unit
    answer = read_whole_answer(one_line(given), unit_hint=due)
    typed = answer.spans[0].unit if answer is not None else None
    if typed is None or due is None or (typed.factor, typed.offset) == (due.factor, due.offset):
        return ""
    return typed.name
