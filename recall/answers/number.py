"""An amount, typed in whatever unit and notation."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from recall.answers.data import reading_data
from recall.answers.match import matches_whole, read_whole_answer
from recall.answers.model import NO_LORE, Answer, Lore, Verdict
from recall.base.text import key_form, one_line
from recall.quantity import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberAnswer(Answer):
    """reading: the amount. time: a word for how long it holds that is no amount (`continuous`), typed behind it."""

    form: ClassVar[str] = "number"
    reading: Reading
    time: str = ""

    def __post_init__(self) -> None:
        """Leave out what its cell said besides the amount."""
        object.__setattr__(self, "reading", replace(self.reading, condition="", also=None, text=""))

    @property
    def amount(self) -> Reading | None:
        """The amount itself."""
        return self.reading

    @property
    def key(self) -> str:
        """Its text."""
        return key_form(self.texts[0])

    def data(self) -> Mapping[str, Any]:
        """The amount, exact to the last digit."""
        return ({"time": self.time} if self.time else {}) | {"right": reading_data(self.reading)}

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """The number in its own unit or in none must equal, in another it must round to what is written."""
        typed = one_line(given)
        if self.time:
            amount, found, behind = typed.casefold().rpartition(self.time.casefold())
            if not found or behind.strip(" .)"):
                return Verdict(False, "the time is missing")
            typed = typed[: len(amount)].rstrip(" ,:(")
        due = self.reading.spans[0].unit
        answer = read_whole_answer(typed, unit_hint=due)
        if answer is None:
            return Verdict(False, "no amount could be read from that" if typed else "nothing was typed")
        match = matches_whole(answer, self.reading)
        own = answer.spans[0].unit
        other = own is not None and due is not None and (own.factor, own.offset) != (due.factor, due.offset)
        note = f"{typed} is {self.texts[0]}, to its last digit" if match.right and other else ""
        return Verdict(match.right, match.why, note=note)
