"""Prose: revealed, and marked by the person."""

from typing import ClassVar

from recall.answers.model import Answer, Lore, Verdict
from recall.base.dataclass import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ProseAnswer(Answer):
    """steps: its texts are the steps of something, in order."""

    form: ClassVar[str] = "prose"
    typed: ClassVar[bool] = False
    steps: bool = False

    @property
    def ordered(self) -> bool:
        """Whether they are steps."""
        return self.steps

    @property
    def choice(self) -> bool:
        """One text is."""
        return len(self.texts) == 1

    def judge(self, given: str, lore: Lore) -> Verdict:
        """The person decides."""
        return Verdict(None)
