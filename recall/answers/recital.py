"""Words to recite: only case, blanks and punctuation are forgiven, numbering, and another notation of an amount."""

from dataclasses import dataclass
from typing import ClassVar

from recall.answers.members import in_runs, set_why
from recall.answers.model import NO_LORE, NOTHING, Answer, Lore, Verdict, again
from recall.answers.phrase import says_nothing
from recall.answers.tokens import tokens_of
from recall.answers.words import Reading, word_by_word


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
        found, added = in_runs(given, self.texts, lore, exact=True)
        if not found:
            return Verdict(False, "the words differ", word_by_word(given, wanted))
        left = tuple(text for step, text in enumerate(self.texts) if step not in found)
        moved = found != sorted(found)
        if not left and not added and not moved:
            return Verdict(True)
        return Verdict(False, set_why(left, added, moved=moved), left_out=left, added=added)
