"""Words to recite: only case, blanks and punctuation are forgiven, numbering, and another notation of an amount."""

from collections.abc import Mapping
from typing import Any, ClassVar

from recall.answers.members import MembersAnswer, in_runs
from recall.answers.model import Lore, Verdict
from recall.answers.words import compare, word_by_word
from recall.base.dataclass import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class RecitalAnswer(MembersAnswer):
    """Steps, in order."""

    form: ClassVar[str] = "exact"
    steps: bool = True

    @property
    def several(self) -> bool:
        """A line a step."""
        return len(self.texts) > 1

    def data(self) -> Mapping[str, Any]:
        """Nothing more."""
        return {}

    def judge(self, given: str, lore: Lore) -> Verdict:
        """Word for word. Of several steps, those left out are named."""
        wanted = " ".join(self.texts)
        if compare(given, wanted, exact=True) is not None:
            return Verdict(True)
        found, added = in_runs(given, self.texts, lore, exact=True)
        return (
            self.verdict(found, added)
            if found
            else Verdict(False, "the words differ", word_by_word(given, wanted))
        )
