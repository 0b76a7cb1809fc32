"""What an answer is: it holds what is right and marks what is typed. One frozen class a form stands on this one."""

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.text import digest, key_form
from recall.quantity import Reading

if TYPE_CHECKING:
    from random import Random

NORMAL_FORM = 1
"""The version of the rules by which answers are compared between revisions. Those of a version never change; a later
one stands beside (`Answer.later`)."""

_digest = lru_cache(maxsize=8192)(digest)
"""The same few answers stand in many rows."""

Part = tuple[Literal["kept", "left out", "added"], str]


_LONGEST = 2_000
"""Characters of what is typed, beyond twice those of the right answer."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """right: None where the person decides, or is asked again. why: one plain sentence, empty where right; again: it
    says why nothing could be read, so that nothing is kept and the question stands. parts: a wrong text word by word.
    left_out, added: members of a set. note: what was forgiven, or how it was read."""

    right: bool | None
    why: str = ""
    parts: tuple[Part, ...] = ()
    left_out: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    note: str = ""
    again: bool = False


NOTHING = "nothing was typed"
NOT_KNOWN = "not known"
"""Why it is wrong where a person says so."""
_SAYS_SO = re.any_case(
    r"(?:i )?(?:(?:do not|don['’]?t) (?:know|remember|recall)(?: it| that)?|(?:have )?no idea)[\s.!]*"
)
_VAGUE = re.any_case(r"(?:i )?(?:am )?(?:dunno|idk|pass|not sure|unknown|forgot(?:ten)?)[\s.!]*")

_FRAME = re.any_case(
    r"(?:(?:(?:the |my )?answer|(?:it|that|this|they|these|those)(?:['’]?(?:s|re)| is| are| was| were|"
    r"(?: should| must| would| will| ought to| has to| have to) be))\b[\s:=]*|(?:should|must|would|will) be\s+|"
    r"just\s+|(?:\w+ )?(?:stands for|means)\s+|(?:\w+ )?=\s*)+(?=\S)",
)
"""What says no more than that an answer follows."""


def again(why: str) -> Verdict:
    """The question stands. why: what couldn't be read."""
    return Verdict(None, why, again=True)


def _nothing(_: str) -> bool:
    return False


@dataclass(frozen=True, slots=True)
class Lore:
    """What a deck and a question say, as far as marking needs it. knows: whether a word, case folded, stands in the
    deck, where no slip is forgiven; short: its abbreviations as written, with their meanings; prompt: the question as
    it is put; topic: the heading over it; names: the answer names things, of which a part may be enough; literal: its
    very words are asked, no synonyms; says: texts that may hold some words."""

    knows: Callable[[str], bool] = _nothing
    short: Mapping[str, Sequence[str]] = field(default_factory=dict)
    prompt: str = ""
    topic: str = ""
    names: bool = False
    literal: bool = False
    says: Callable[[str], Iterable[str]] = lambda _: ()


NO_LORE = Lore()
"""For a comparison outside any deck."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A question drawn afresh. reads: the number as it is shown; right: the answer; why: a sentence; asks: what may
    be said, as the end of the question; held: what stands in brackets behind the condition."""

    reads: str
    right: "Answer"
    why: str
    asks: str
    held: str


@dataclass(frozen=True, slots=True)
class Answer(ABC):
    """texts: what is right, as it is shown, a member or step each. same_as: what it is compared by between revisions,
    where that is more than its texts; known only to those who read the notes; ordered: its
    texts are steps, whose order is part of the answer."""

    texts: tuple[str, ...]
    same_as: tuple[str, ...] = field(default=(), compare=False)
    ordered: bool = field(default=False, kw_only=True)

    form: ClassVar[str]
    """Its name in JSON."""
    typed: ClassVar[bool] = True
    """It is typed and marked; otherwise it is revealed and the person marks it."""
    drawn: ClassVar[bool] = False
    """It is drawn afresh each time, and says nothing by itself."""

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Right or wrong for what a person typed, and why; right is None where the person decides, or is asked again:
        nothing was typed, or a question."""
        given = given.strip()
        if not _FRAME.match(self.text):
            given = _FRAME.sub("", given, count=1) if _FRAME.match(given) else given
        if _SAYS_SO.fullmatch(given) and not _SAYS_SO.fullmatch(self.text):
            return Verdict(False, NOT_KNOWN)
        if not self.typed:
            return Verdict(None)
        if _VAGUE.fullmatch(given) and not _VAGUE.fullmatch(self.text):
            return again("say `I don't know`, or what you take for right")
        if not given or (not re.search(r"\w", given) and re.search(r"\w", self.text or "x")):
            return again(NOTHING)
        if "?" in given and "?" not in self.text:
            return again("type the answer that you mean, without a question mark")
        if len(given) > _LONGEST + 2 * len(self.text):
            return again("that is longer than any answer")
        return self.judge(given, lore)

    @abstractmethod
    def judge(self, given: str, lore: Lore) -> Verdict:
        """The same of what says something."""

    @property
    def text(self) -> str:
        """All of it on one line."""
        return "; ".join(self.texts)

    @property
    def several(self) -> bool:
        """Whether it may take several lines."""
        return False

    @property
    def choices(self) -> Sequence[str]:
        """All that may be said, where the question itself names it."""
        return ()

    @property
    def choice(self) -> bool:
        """Whether it is one text that can stand among others to choose from."""
        return False

    @property
    def amount(self) -> Reading | None:
        """The quantity that is asked for, where it is one."""
        return None

    @property
    def key(self) -> str:
        """By what it is found when it was given instead of another's; empty where it never is."""
        return ""

    def draw(self, rng: "Random") -> Drawn | None:
        """A fresh question; None where it is asked as it stands."""
        return None

    def data(self) -> Mapping[str, Any]:
        """What JSON holds of it besides form and texts."""
        return {}

    def normal(self) -> tuple[str, ...]:
        """Its normal form, equal for a rewording."""
        return self.same_as or tuple(sorted(key_form(text) for text in self.texts))

    def digest(self) -> str:
        """Of its normal form."""
        return _digest(self.normal())

    def later(self) -> tuple[str, ...]:
        """Digests of its normal forms of later versions, in their order, each of a text that begins with the version:
        two answers that are equal in any form are equal. There are none yet."""
        return ()
