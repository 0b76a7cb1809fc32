"""What a sitting shows and what may be done: plain data, in no front end's words, that goes into JSON as it
stands."""

from typing import Any, Literal, NamedTuple

from recall.base.dataclass import asdict, dataclass
from recall.base.errors import RecallError
from recall.base.marks import MARKS, Mark
from recall.base.text import count

Phase = Literal["asking", "marking", "told", "over"]
"""asking: an answer is awaited; marking: the answer is shown, and a person's mark for it is awaited; told: the
outcome is shown until `next`; over: nothing further is put."""
Role = Literal[
    "right",
    "wrong",
    "warning",
    "answer",
    "left out",
    "typed",
    "caution",
    "about",
    "place",
    "line",
    "mark",
    "note",
    "head",
]
"""What a sentence is: `wrong` and, on a critical point, `warning` say that an answer was; `answer` is (a member of)
the right one, `left out` one that was not given; `typed` what the person gave; `about` belongs to the answer, `place`
says where it stands, `line` is a line of the note; `mark` says which is kept; `note` is in passing, `head` stands
over others."""
HELPS = ("remark", "beside", "others")
"""What may help with a card that is missed again and again: the person's own words on it, what it is confused with
beside it, its point's other cards first."""


class Action(NamedTuple):
    """What may be done besides answering: its key and its name at every front end, and what its command does."""

    key: str
    label: str
    does: str = ""


ACTIONS: dict[str, Action] = {
    "undo": Action("u", "undo", "`:undo` takes the last answer back."),
    "source": Action("o", "source", "`:source` says where this question stands."),
    "right": Action("r", "I was right", "`:right` says that the last answer was right."),
    **{mark: Action(mark[0], mark) for mark in MARKS},
    "missed": Action(
        "m", "missed", "`:missed`, `:hesitant`, `:sure` or `:instant` marks the last answer otherwise."
    ),
    "notes": Action("n", "the sheet's page first", "`:notes` shows the topic's page of the sheet."),
    "remark": Action("w", "a remark", "`:remark WORDS` keeps a remark on the last card."),
    "beside": Action("b", "what it is taken for", "`:beside` shows what it is taken for beside it."),
    "others": Action(
        "p", "its point's other cards first", "`:others` asks the other cards of its point first."
    ),
    "next": Action("enter", "go on"),
    "stop": Action("x", "stop", "`:stop` ends."),
}
SETTLE = 0.3
"""Seconds after an answer in which a key is no answer to what is put now."""
ALONE = 0.6
"""Seconds of silence behind a letter that is a key: letters in a run are words."""


class StepError(RecallError):
    """A step that can't be taken. name: `past` (of a question before this one), `other` (of another sitting), `not
    now` (nothing that may be done)."""

    def __init__(
        self, name: Literal["past", "other", "elsewhere", "not now"], what: str, help: str = ""
    ) -> None:
        super().__init__(what, help)
        self.name = name


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence with its role. parts: of one that sets what was typed beside the answer, its runs of words, each
    with what it is: `kept`, `added`, `left out`."""

    role: Role
    text: str
    parts: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Put:
    """A question that is put. typed: the answer is marked by the program; several: it has members or steps, which may
    be given one a line; must: it is to be typed, even where a person marks it; choices: all that may be said, where
    the question names it."""

    topic: tuple[str, ...]
    prompt: str
    critical: bool
    applies: str
    typed: bool
    several: bool
    must: bool
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the sitting stands. number: of this question; of: questions in all, as far as is known; seconds: the time
    left; answers: so far; begun: cards asked for the first time; back: missed ones that come back; minutes: spent on
    this day so far."""

    number: int
    of: int
    seconds: float
    answers: int
    begun: int
    back: int
    minutes: float

    @property
    def here(self) -> str:
        """How far it is, and the time left."""
        here = f"{self.number} of {self.of}"
        if not self.seconds:
            return here
        left = "under a minute" if self.seconds < 45 else f"about {max(1, round(self.seconds / 60))} min"
        return f"{here}, {left} left"

    @property
    def so_far(self) -> str:
        """What the sitting and the day have seen; nothing before the first answer."""
        counted = (
            (self.answers, count(self.answers, "answer")),
            (self.begun, f"{self.begun} begun"),
            (self.back, f"{self.back} coming back"),
            (round(self.minutes), f"{self.minutes:.0f} min today"),
        )
        return ", ".join(text for number, text in counted if number)


@dataclass(frozen=True, slots=True)
class View:
    """A sitting at one moment. token: names what is put, for `act`; may: the actions that may be taken: `answer` with
    a text, a mark, `right`, `next`, `undo`, `source`, `stop`, `notes`, HELPS (`remark` with a text); tell: what
    came of the last step; fresh: the question is put by it; proposed: the mark to propose; end: what the sitting
    brought, once it is over."""

    phase: Phase
    token: str
    question: Put | None
    may: tuple[str, ...]
    tell: tuple[Line, ...]
    standing: Standing
    fresh: bool = False
    answer: tuple[Line, ...] = ()
    proposed: Mark | None = None
    end: dict[str, Any] | None = None

    def plain(self) -> dict[str, Any]:
        """Dictionaries, lists, texts and numbers only."""
        return asdict(self)
