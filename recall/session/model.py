"""What a sitting deals in: answers as they are kept, what they were before a revision."""

from recall.answers import NOT_KNOWN, Verdict
from recall.base.dataclass import dataclass
from recall.base.marks import MARKS, Mark, rank
from recall.kinds.model import Card
from recall.session.order import Order, Waiting
from recall.store.model import MarkedBy as MarkedBy
from recall.store.model import Mode as Mode

DONT_KNOW = "I don't know"
"""What is kept as given where nothing was typed twice in a row."""


@dataclass(frozen=True, slots=True)
class Was:
    """What the answer was before a revision changed it. same_as_given: the person answered with the old value."""

    answer: tuple[str, ...]
    revision: str
    same_as_given: bool = False


@dataclass(frozen=True, slots=True)
class Kept:
    """An answer of this sitting with what came of it. verdict: right is None while a person decides; mark: None while
    it waits for one; seconds: to the first key, None unmeasured; claimed: right by the person's word; event: the id
    under which it is kept, empty while it isn't; first: the card's first answer of the sitting; returns: it comes
    back; helps: what may help, where it was missed on a fourth day."""

    waiting: Waiting
    card: Card
    given: str
    verdict: Verdict
    mark: Mark | None
    proposed: Mark | None = None
    seconds: float | None = None
    marked_by: MarkedBy = "program"
    claimed: bool = False
    event: str = ""
    first: bool = True
    returns: bool = False
    was: Was | None = None
    helps: tuple[str, ...] = ()

    @property
    def overruled(self) -> bool:
        """Whether the mark isn't the one that the answer led to."""
        return self.proposed is not None and self.mark != self.proposed

    @property
    def talked_up(self) -> bool:
        """Whether a person gave it a better mark than the answer led to."""
        return self.overruled and self.mark is not None and rank(self.mark) > rank(self.proposed or "missed")

    @property
    def otherwise(self) -> tuple[str, ...]:
        """The marks that it may be given instead, and the claim that it was `right`, which any better mark of
        what was judged wrong is too: none on a critical point. Otherwise that is raised to `hesitant` at most."""
        wrong = self.verdict.right is False
        typed = self.verdict.why != NOT_KNOWN  # who said nothing claims nothing
        most: Mark = "instant"
        if wrong and (self.card.critical or not typed):
            most = "missed"
        elif self.card.critical:
            most = max("hesitant", self.proposed or self.mark or "missed", key=rank)
        marks = tuple(one for one in MARKS if rank(one) <= rank(most) and one != self.mark)
        return (*marks, "right") if wrong and typed and not self.claimed else marks

    @property
    def right(self) -> bool:
        """Whether it counts as right."""
        return self.mark is not None and self.mark != "missed"

    @property
    def again(self) -> bool:
        """Whether it is asked again before the end: a miss, or a critical point that was talked up."""
        return not self.right or (self.talked_up and self.card.critical)

    @property
    def timed(self) -> tuple[float, int] | None:
        """Its time with the letters of its question, where it says how fast the person is."""
        if self.seconds is None or not self.right or self.overruled or self.claimed:
            return None
        return self.seconds, len(self.card.prompt)


@dataclass(frozen=True, slots=True)
class Today:
    """Today's sitting. minutes: left for it, None where nothing limits it; said: what a person is to be told; each:
    seconds that a question is expected to take, None where nothing is planned."""

    order: Order
    mode: Mode = "daily"
    minutes: float | None = None
    said: str = ""
    each: float | None = None
