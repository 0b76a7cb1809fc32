"""Points and cards, and what a kind is."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any

from recall.answers import NO_LORE, Answer, Lore, Verdict, answer_from
from recall.base.dataclass import dataclass, field, fields, replace
from recall.base.finding import Finding, Place
from recall.base.text import canonical, hashed, joined, key_form, one_line, shown
from recall.base.text import digest as digest

if TYPE_CHECKING:
    from recall.notes.model import Text
    from recall.quantity import Reading, Words


@dataclass(frozen=True, slots=True)
class Scope:
    """What holds where a block stands."""

    topic: tuple[str, ...] = ()
    source: str = ""
    applies: str = ""
    heading: str = ""
    """The nearest heading: the subject that a leading pronoun stands for."""
    heading_id: str = ""
    """The nearest heading's own id, for the flow or memory item below it."""
    under: str = ""
    """The condition that the line above a list or a table puts on all of it."""
    memory: bool = False
    """Under a heading or record that says memory items, critical items or immediate actions."""
    comma: bool = False
    """The file uses decimal commas."""
    footnotes: Mapping[str, str] = field(default_factory=dict)
    """The words of the file's footnotes, by their marks."""


@lru_cache(maxsize=1024)
def _topic_form(topic: tuple[str, ...]) -> str:
    return " / ".join(map(key_form, topic))


@dataclass(slots=True)
class Point:
    """One thing to know, from one place. fields: answers in words by role, a tuple being a set or a sequence;
    amounts: readings by role (limits); extra: columns that aren't known, header and text."""

    kind: str
    topic: tuple[str, ...]
    subject: str
    place: Place
    fields: dict[str, tuple[str, ...]] = field(default_factory=dict)
    amounts: "dict[str, Reading | Words]" = field(default_factory=dict)
    condition: str = ""
    applies: str = ""
    fits: str = ""
    """The aircraft of `applies` with the serials of the variants that it names; empty where it names none."""
    critical: bool = False
    cite: str = ""
    why: str = ""
    id: str = ""
    extra: tuple[tuple[str, str], ...] = ()
    matrix: bool = False
    """It comes from a matrix of limits, whose columns name parameters by themselves."""
    faulty: bool = False
    """An error stands against it: it makes no card, and its cards pause."""
    wording: dict[str, str] = field(default_factory=dict)
    """The note's own words around an answer (a header, a time that holds), for questions."""
    parts: "tuple[Point, ...]" = ()
    """What it is made of: the steps of a flow, the rungs of a limit under several times."""
    source: str = ""
    """Digest of the piece of the notes that it was read from, with all that governs it (`deck/pieces.py`)."""

    def copied(self) -> "Point":
        """Another one that is the same for now."""
        return Point(*_fields_of(self))

    def says_the_same(self, other: "Point") -> bool:
        """Whether it differs in its place at most."""
        return bool(_words_of(self) == _words_of(other))

    def named(self) -> str:
        """Its subject, with its condition in brackets."""
        return f"{self.subject} ({self.condition})" if self.condition else self.subject

    def about(self) -> tuple[str, str, str, str]:
        """Kind, topic, subject and condition, normalised: what it is about, whatever its id or its aircraft."""
        return (
            self.kind,
            _topic_form(self.topic),
            key_form(self.subject, keep_case=True) if self.kind == "abbreviation" else key_form(self.subject),
            key_form(self.condition),
        )

    def key(self, deck: str) -> tuple[str, ...]:
        """The parts of its identity, normalised; the aspect makes it a card's."""
        if self.id:
            return (deck, self.kind, "#" + self.id)
        return (deck, *self.about(), key_form(self.applies))

    def digest(self, deck: str) -> str:
        """Its id within a deck, the same for all its cards."""
        return digest(self.key(deck))


_fields_of = attrgetter(*(one.name for one in fields(Point)))
_words_of = attrgetter(*(one.name for one in fields(Point) if one.name != "place"))


def where(point: Point) -> str:
    """A point's place as messages name it."""
    return f"{shown(point.place.file)} line {point.place.line}"


def named(point: Point) -> str:
    """A point's subject and condition as messages name it."""
    condition = f" ({shown(point.condition)})" if point.condition else ""
    return f"`{shown(point.subject)}`{condition}"


@dataclass(frozen=True, slots=True)
class Draft:
    """A question of one point before it has an identity."""

    aspect: str
    prompt: str
    answer: Answer
    part: str = ""
    """Which part of the point is asked where an aspect has several cards: a step of a flow, a load of a supply."""
    line: int = 0
    """Where that part stands; 0: where the point does."""
    critical: bool = False
    """This part must be known without fail, whatever the rest of the point."""


@dataclass(frozen=True, slots=True)
class Card:
    """One question: a point and an aspect. answer_hash: of the answer's first normal form; near: cards that it may be
    confused with. No part of its wording are `also`, the hashes of the answer's later normal forms, `source`, the
    digest of the notes it was read from, and `key`, the words that its id is the hash of, but for the deck's."""

    id: str
    deck: str
    point: str
    kind: str
    aspect: str
    topic: tuple[str, ...]
    subject: str
    condition: str
    applies: str
    prompt: str
    answer: Answer
    critical: bool
    file: str
    line: int
    cite: str
    why: str
    answer_hash: str
    extra: tuple[tuple[str, str], ...] = ()
    near: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    source: str = ""
    key: tuple[str, ...] = ()

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Mark what a person typed."""
        asked = replace(
            lore,
            prompt=self.prompt,
            topic=" ".join(self.topic[-1:]),
            names=self.kind == "supply",
            literal=self.kind == "abbreviation",
        )
        return self.answer.mark(given, asked)

    def down(self, by: int) -> "Card":
        """The card of a point that stands some lines further down."""
        *before, line = _to_line_of(self)
        return Card(*(*before, line + by, *_behind_line_of(self)))

    def to_json(self) -> str:
        """Its wording as one line of JSON, the same text for the same card."""
        beside = ("near", "also", "source", "key")
        plain = {name: getattr(self, name) for name in self.__slots__ if name not in beside}
        near = {"near": self.near} if self.near else {}
        plain |= {
            "answer": self.answer.texts,
            "form": self.answer.form,
            "data": {**self.answer.data(), **near},
        }
        return canonical(plain)

    @classmethod
    def from_json(cls, text: str) -> "Card":
        """The card that `to_json` wrote."""
        import json  # not needed to read notes

        return cls.from_plain(json.loads(text))

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any], answer: Answer | None = None) -> "Card":
        """The card of that JSON, read. answer: its answer, where that was read already."""
        fields = dict(plain)
        form, data = fields.pop("form"), fields.pop("data")
        steps = fields["aspect"] == "order"
        fields["topic"] = tuple(fields["topic"])
        fields["answer"] = answer or answer_from(form, fields["answer"], data, steps=steps)
        fields["extra"] = tuple((header, words) for header, words in fields["extra"])
        fields["near"] = tuple(data.get("near", ()))
        return cls(**fields)


_names = [one.name for one in fields(Card)]
_at = _names.index("line") + 1
_to_line_of, _behind_line_of = attrgetter(*_names[:_at]), attrgetter(*_names[_at:])


def make_cards(point: Point, drafts: Iterable[Draft], deck: str) -> list[Card]:
    """Give a point's drafts their identity in a deck."""
    key = point.key(deck)
    head = joined(key)
    owner = hashed(head)
    cards = []
    for draft in drafts:
        part = (key_form(draft.part),) if draft.part else ()
        cards.append(
            Card(
                id=hashed(head + joined((draft.aspect, *part))),
                deck=deck,
                point=owner,
                kind=point.kind,
                aspect=draft.aspect,
                topic=point.topic,
                subject=point.subject,
                condition=draft.part or point.condition,
                applies=point.applies,
                prompt=draft.prompt,
                answer=draft.answer,
                critical=point.critical or draft.critical,
                file=point.place.file,
                line=draft.line or point.place.line,
                cite=point.cite,
                why=point.why,
                answer_hash=draft.answer.digest(),
                extra=point.extra,
                also=draft.answer.later(),
                source=point.source,
                key=(*key[1:], draft.aspect, *part),
            )
        )
    return cards


def make_card(point: Point, draft: Draft, deck: str) -> Card:
    """Give one draft its identity in a deck."""
    return make_cards(point, (draft,), deck)[0]


Read = tuple[list[Point], list[Finding]]
Cells = Mapping[str, "Text"]
"""A row by role; roles whose column is absent are absent."""


def base_point(
    kind: str, subject: "Text", scope: Scope, cells: Cells | None = None, *, marks: bool = True
) -> Point:
    """A point with all that scope and the common columns give; its own columns are the kind's business.

    subject: the text that names it, whose place is the point's. marks: a wholly bold subject makes it critical
    (False where bold is notation); the reader takes that back where all rows of a table are bold.
    """
    cells = cells or {}

    def words(role: str) -> str:
        return one_line(cells[role].plain) if role in cells else ""

    return Point(
        kind=kind,
        topic=scope.topic,
        subject=one_line(subject.plain),
        place=subject.place,
        applies=words("applies") or scope.applies,
        critical=scope.memory or (marks and subject.bold == "all"),
        cite=words("source") or scope.source,
        why=words("why"),
        id=words("id"),
    )
