"""Words to recite: only case, blanks and punctuation are forgiven, numbering, and another notation of an amount."""

from dataclasses import dataclass
from typing import ClassVar

from recall.answers.members import listed, set_why
from recall.answers.model import NO_LORE, NOTHING, Answer, Lore, Verdict, again
from recall.answers.phrase import says_nothing
from recall.answers.tokens import tokens_of
from recall.answers.words import Reading, word_by_word

_BETWEEN = frozenset(("and", "then"))


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
        if says_nothing(given, self.text):
            return again(NOTHING)
        wanted = " ".join(self.texts)
        whole = Reading(tokens_of(given), tokens_of(wanted), exact=True)
        if whole.whole() is not None:
            return Verdict(True)
        found, added = self._found(given)
        if not found:
            return Verdict(False, "the words differ", word_by_word(given, wanted))
        left = tuple(text for step, text in enumerate(self.texts) if step not in found)
        moved = found != sorted(found)
        if not left and not added and not moved:
            return Verdict(True)
        return Verdict(False, set_why(left, added, moved=moved), left_out=left, added=added)

    def _found(self, given: str) -> tuple[list[int], tuple[str, ...]]:
        """Which steps stand whole in what was typed, in the order typed, and the runs of words that are none."""
        found: list[int] = []
        added: list[str] = []
        for line in listed(given).split(";"):
            typed, at, rest = tokens_of(line), 0, list[str]()
            while at < len(typed.words):
                steps = [
                    (end, -step)
                    for step in range(len(self.texts))
                    for end, _ in Reading(typed, tokens_of(self.texts[step]), exact=True).ends(at)
                    if step not in found
                ]
                if steps:
                    if rest:
                        added.append(" ".join(rest))
                    rest = []
                    at, step = max(steps)
                    found.append(-step)
                else:
                    if typed.words[at] not in _BETWEEN or rest:
                        rest.append(typed.words[at])
                    at += 1
            if rest:
                added.append(" ".join(rest))
        return found, tuple(added)
