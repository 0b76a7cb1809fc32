"""Revisions of a deck in their order, and a card as it stands after one. Pure computation.

A place is a text that sorts: the deck's rank in its chain of names, the revision number by number, and the id of
the event. Reviews have places too, so that a review answered under an old revision on another device finds its way.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import reduce
from typing import NamedTuple

from recall.base import regex as re
from recall.base.dataclass import dataclass, field

_NUMBERS = re.compile(r"[0-9]+")


def revision_key(revision: str) -> str:
    """Numbers between dots as a text that sorts number by number (`8.10` after `8.9`, `8.0` with `8`)."""
    numbers = [int(number) for number in _NUMBERS.findall(revision)]
    while numbers and numbers[-1] == 0:
        numbers.pop()
    return ".".join(f"{number:012d}" for number in numbers)


def plain_number(revision: str) -> str:
    """A revision's number written one way: `2` for `2`, `2.0` and `02`."""
    return ".".join(str(int(number)) for number in revision_key(revision).split(".") if number) or "0"


def place_of(rank: int, revision: str, placed_id: str) -> str:
    """The place of an event in the line of its deck."""
    return f"{rank:03d} {revision_key(revision)} {placed_id}"


class Listed(NamedTuple):
    """A card as a revision lists it. answer: hash of its answer's first normal form, also: of later ones; text: hash
    of its wording; row: its line in the file; source: digest of what it was read from, empty where nobody tells."""

    id: str
    answer: str
    text: str
    row: int
    source: str = ""
    also: tuple[str, ...] = ()

    @property
    def answers(self) -> set[str]:
        """The hashes of its answer, in every normal form."""
        return {self.answer, *self.also}


@dataclass(frozen=True, slots=True)
class Loaded:
    """A load without its cards, and its place in the line. day: number of the day of loading; effective: day number
    or None; content: digest of what it says; notes: digest of its notes, reading: of the program that read them;
    earlier: what it says of loads before it, as JSON: content → `notes`, `sources`; by: number of the day on which a
    later one is in force that overtook it; None where none did."""

    event: str
    place: str
    deck: str
    revision: str
    effective: int | None
    day: int
    content: str = ""
    notes: str = ""
    reading: str = ""
    earlier: str = "{}"
    by: int | None = None

    @property
    def comes(self) -> int:
        """Number of the first day on which it may be in force."""
        return self.effective or 0

    @property
    def in_force(self) -> int:
        """Number of the first day on which what it says could be asked."""
        own = max(self.day, self.comes)
        return own if self.by is None else min(own, self.by)


@dataclass(frozen=True, slots=True)
class Load:
    """What a load lists. paused: points and files that couldn't be read; renamed: ids of cards that go on from others
    under a new subject, as its publisher decided: new id to old id."""

    cards: Sequence[Listed]
    paused_points: Collection[str] = ()
    paused_files: Collection[str] = ()
    renamed: Mapping[str, str] = field(default_factory=dict)


class CardState(NamedTuple):
    """A card after some revision, as its row of the card table says it. also: as in `Listed`, same: all other hashes
    that its answer had in this epoch, both between blanks; moved: its history went to another card."""

    answer: str
    text: str
    row: int
    rank: int
    source: str = ""
    also: str = ""
    same: str = ""
    present: int = 1
    paused: int = 0
    epoch: str | None = None
    was: str | None = None
    since: str | None = None
    renewed: int | None = None
    moved: int = 0

    @property
    def answers(self) -> set[str]:
        """The hashes of its answer, in every normal form."""
        return {self.answer, *self.also.split()}

    @property
    def ever(self) -> set[str]:
        """All hashes that its answer had in this epoch."""
        return {self.answer, *self.same.split()}

    @property
    def life(self) -> tuple[str | None, str | None, str | None, int | None]:
        """Where its answer last changed: epoch, was, since, renewed."""
        return self[9:13]

    @property
    def asked(self) -> bool:
        """Whether it is in force, under its own id, and was read."""
        return self.present == 1 and not self.paused and not self.moved


@dataclass(slots=True)
class Step:
    """What one revision did: ids of cards. moved, renamed: from the old id to the new one."""

    new: set[str] = field(default_factory=set)
    changed: set[str] = field(default_factory=set)
    gone: set[str] = field(default_factory=set)
    back: set[str] = field(default_factory=set)
    moved: dict[str, str] = field(default_factory=dict)
    renamed: dict[str, str] = field(default_factory=dict)
    links: list[tuple[str, str, str]] = field(default_factory=list)
    """Source, place, target: history that follows."""
    read: set[str] = field(default_factory=set)
    """Of the new and gone ones those that the notes had before and still have: only the program differs."""
    before: int = 0
    """Cards in force before."""

    def then(self, later: "Step") -> "Step":
        """What both did, one after the other."""
        goes = later.moved | later.renamed
        new, changed, back = (
            {goes.get(card, card) for card in cards} for cards in (self.new, self.changed, self.back)
        )
        new, back = new - later.gone, back - later.gone
        return Step(
            new=new | (later.new - self.gone),
            changed=changed | later.changed,
            gone=(self.gone - later.back - later.new) | (later.gone - self.new - self.back),
            back=back | (later.back - self.gone),
            moved=_chained(self.moved, later.moved, self.new),
            renamed=_chained(self.renamed, later.renamed, self.new),
            links=self.links + later.links,
            read=self.read | later.read,
            before=self.before,
        )

    @property
    def anew(self) -> set[str]:
        """What is asked anew by a change of the notes: new cards, those that are back, those with another answer."""
        return ((self.new | self.back) - self.read) | self.changed


def together(steps: Sequence[Step]) -> Step:
    """What some revisions did, one after the other, as one step."""
    if not steps:
        return Step()
    step = reduce(Step.then, steps)
    if len(steps) > 1:  # a card that changed may have gone, and come back
        step.changed -= step.gone | step.new
    return step


def _chained(first: Mapping[str, str], then: Mapping[str, str], new: Collection[str]) -> dict[str, str]:
    """Ways from old ids to new ones, those of the second set going on from those of the first. new: ids that nothing
    goes on from, since they weren't there before."""
    ends = {source: then.get(target, target) for source, target in first.items()}
    known = {*first.values(), *new}
    return ends | {source: target for source, target in then.items() if source not in known}


@dataclass(frozen=True, slots=True)
class Points:
    """What one revision did to points: ids of those that it lists, of withdrawn and dropped ones (which the notes
    still have) the ids before. sources: where points that moved or were renamed come from."""

    new: set[str]
    changed: set[str]
    withdrawn: set[str]
    moved: set[str]
    renamed: set[str]
    dropped: set[str]
    sources: dict[str, str]


def by_point(step: Step, now: Mapping[str, str], before: Callable[[str], str]) -> Points:
    """now: the point of each card that is listed; before: gives that of a card that was. Whoever tells of a revision,
    its publisher, a reader of changes or a student who loads it, counts by this."""
    fresh, stayed, touched = set[str](), set[str](), set[str]()
    for card, point in now.items():
        came = card in step.new or card in step.back
        (fresh if came else stayed).add(point)
        if card in step.changed or (came and card not in step.read):
            touched.add(point)
    points = fresh | stayed
    sources, names = (
        {now[target]: before(source) for source, target in ways.items() if target in now}
        for ways in (step.moved, step.renamed)
    )
    goes = {source: point for point, source in sources.items()}
    left, read = (
        {before(card) for card in cards} for cards in (step.gone - step.read, step.gone & step.read)
    )
    renamed, known = set(names), points | goes.keys() | {before(card) for card in step.renamed}
    changed = ((touched & stayed) | ({goes.get(point, point) for point in left} & points)) - renamed
    return Points(
        new=fresh - stayed - renamed - changed,
        changed=changed,
        withdrawn=left - known,
        moved=sources.keys() - touched - renamed - changed,
        renamed=renamed,
        dropped=read - left - known,
        sources=sources | names,
    )


@dataclass(frozen=True, slots=True)
class Again:
    """How the notes of a load were read against those of the load before. same_notes: they are the same notes;
    otherwise: another program read them, or nobody tells."""

    same_notes: bool = False
    otherwise: bool = False

    @classmethod
    def between(cls, before: Loaded | None, now: Loaded) -> "Again":
        """Of two loads, one after the other; before: None where there is none."""
        if before is None:
            return cls()
        same = bool(before.notes) and before.notes == now.notes
        return cls(same, before.reading != now.reading or not before.reading)

    def stays(self, before: CardState | Listed, now: Listed, *, listed: bool) -> bool:
        """Whether an answer is what it was: equal in a normal form; or read from what nobody changed.

        listed: `before` is how the load before had it.

        One program reads one text alike. So where the program is the same another answer is a change of the notes,
        whatever the source says.
        """
        return (
            not before.answers.isdisjoint(now.answers)
            or (self.same_notes and listed)
            or (self.otherwise and bool(now.source) and before.source == now.source)
        )
