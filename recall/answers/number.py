"""An amount, typed in whatever unit and notation."""

from collections.abc import Mapping
from typing import Any, ClassVar

from recall.answers.data import reading_data
from recall.answers.model import Answer, Lore, Verdict
from recall.base.dataclass import dataclass
from recall.base.text import key_form
from recall.quantity import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberAnswer(Answer):
    """reading: the amount. time: a word for how long it holds that is no amount (`continuous`), typed behind it."""

    form: ClassVar[str] = "number"
    reading: Reading
    time: str = ""

    def __post_init__(self) -> None:
        """Leave out what its cell said besides the amount."""
        bare = Reading(self.reading.spans, self.reading.shape, self.reading.duration, "", None, "")
        object.__setattr__(self, "reading", bare)

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

    def judge(self, given: str, lore: Lore) -> Verdict:
        """The number in its own unit or in none must equal, in another it must be what the right one comes to."""
        from recall.answers.amounts import judged  # with the first that is typed

        return judged(self, given, lore)
