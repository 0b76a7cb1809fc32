"""Words to recite: only case, blanks and punctuation are forgiven."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import ClassVar

from recall.answers.members import set_why
from recall.answers.model import NO_LORE, Answer, Lore, Verdict
from recall.answers.words import said_words, word_by_word


@dataclass(frozen=True, slots=True, kw_only=True)
class RecitalAnswer(Answer):
    """Steps, in order."""

    form: ClassVar[str] = "exact"

    @property
    def ordered(self) -> bool:
        """Always."""
        return True

    @property
    def several(self) -> bool:
        """A line a step."""
        return len(self.texts) > 1

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Word for word. Of several steps, those left out are named."""
        wanted = " ".join(self.texts)
        if given and _letters(given) == _letters(wanted):
            return Verdict(True)
        if not given:
            return Verdict(False, "nothing was typed")
        found, left, added = _recited(given, self.texts)
        if not found:
            return Verdict(False, "the words differ", word_by_word(given, wanted))
        order = "in another order" if found != sorted(found) else ""
        if not left and not added:
            return Verdict(False, f"all there, {order}" if order else "the words differ")
        why = set_why(given, left, added) + (f"; the rest {order}" if order else "")
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
