"""Points and cards, and what a kind is."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any, ClassVar

from recall.answers import Answer, answer_from
from recall.base.finding import Finding, Place
from recall.base.text import digest as digest
from recall.base.text import key_form, one_line
from recall.kinds.prose.form import Claim, SentenceForm
from recall.notes.model import Definitions, Heading, List, Paragraph, Row, Table, Text

if TYPE_CHECKING:
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
    memory: bool = False
    """Under a heading or record that says memory items, critical items or immediate actions."""
    comma: bool = False
    """The file uses decimal commas."""
    footnotes: Mapping[str, str] = field(default_factory=dict)
    """The words of the file's footnotes, by their marks."""


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

    def about(self) -> tuple[str, str, str, str]:
        """Kind, topic, subject and condition, normalised: what it is about, whatever its id or its aircraft."""
        return (
            self.kind,
            " / ".join([key_form(part) for part in self.topic]),
            key_form(self.subject, keep_case=self.kind == "abbreviation"),
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
    confused with. No part of its wording are `also`, the hashes of the answer's later normal forms, and `source`,
    the digest of the notes it was read from."""

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

    def to_json(self) -> str:
        """Its wording as one line of JSON, the same text for the same card."""
        beside = ("near", "also", "source")
        plain = {name: getattr(self, name) for name in self.__slots__ if name not in beside}
        near = {"near": self.near} if self.near else {}
        plain |= {
            "answer": self.answer.texts,
            "form": self.answer.form,
            "data": {**self.answer.data(), **near},
        }
        return json.dumps(plain, ensure_ascii=False, sort_keys=True, separators=(",", ":"))

    @classmethod
    def from_json(cls, text: str) -> "Card":
        """The card that `to_json` wrote."""
        return cls.from_plain(json.loads(text))

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> "Card":
        """The card of that JSON, read."""
        fields = dict(plain)
        form, data = fields.pop("form"), fields.pop("data")
        steps = form == "prose" and fields["aspect"] == "order"
        fields["topic"] = tuple(fields["topic"])
        fields["answer"] = answer_from(form, fields["answer"], data, steps=steps)
        fields["extra"] = tuple((header, words) for header, words in fields["extra"])
        fields["near"] = tuple(data.get("near", ()))
        return cls(**fields)


def make_cards(point: Point, drafts: Iterable[Draft], deck: str) -> list[Card]:
    """Give a point's drafts their identity in a deck."""
    key = point.key(deck)
    owner = digest(key)
    cards = []
    for draft in drafts:
        part = (key_form(draft.part),) if draft.part else ()
        cards.append(
            Card(
                id=digest((*key, draft.aspect, *part)),
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
            )
        )
    return cards


def make_card(point: Point, draft: Draft, deck: str) -> Card:
    """Give one draft its identity in a deck."""
    return make_cards(point, (draft,), deck)[0]


Read = tuple[list[Point], list[Finding]]
Cells = Mapping[str, Text]
"""A row by role; roles whose column is absent are absent."""

COMMON: dict[str, tuple[str, ...]] = {
    "source": ("source", "ref", "reference", "citation", "manual"),
    "applies": ("applies to", "applicability", "effectivity", "applicable to"),
    "id": ("id",),
    "why": ("why", "reason", "rationale", "because"),
}
"""Columns that every table may have."""


class Kind:
    """One kind of knowledge. A kind is one file: it says which headers it knows, reads blocks into points, and
    asks about a point. Every method has a default, so that a kind writes only what is its own."""

    name: ClassVar[str]
    aspects: ClassVar[tuple[str, ...]]
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    """Role → header names, lower case, singular; the first is the name used in help."""
    required: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Each group: at least one of these roles must be there. Empty: the kind reads no tables."""
    sentences: ClassVar[tuple[SentenceForm, ...]] = ()
    """The forms of plain sentences that say something of this kind, the surest first."""
    by_heading: ClassVar[bool] = False
    """Its subject is the heading above: several under one heading are told apart by their number."""
    by_item: ClassVar[bool] = False
    """Of a list it reads items one by one, each at its own line: what it leaves is read as sentences, or told."""
    owns_below: ClassVar[bool] = True
    """A heading that it reads owns the headings below it too; else only its own text."""
    leaves_tables: ClassVar[bool] = False
    """Tables inside the items of a list that it reads are blocks of their own."""
    adds_up: ClassVar[bool] = False
    """What points of one subject say for various aircraft adds up: they never contradict each other."""

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Whether the table is of this kind, given the roles (column → role) that its headers matched."""
        present = set(roles.values())
        return bool(self.required) and all(present & set(group) for group in self.required)

    def explains(self, table: Table, roles: Mapping[int, str]) -> int:
        """How many columns it explains; of the kinds that fit, the one that explains most reads the table."""
        return len(roles)

    def spare_columns(self, table: Table, roles: Mapping[int, str]) -> list[int]:
        """The columns that it doesn't know, kept and shown with the answer."""
        return [column for column in range(len(table.headers)) if column not in roles]

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """Points of a table that fits; by default row by row."""
        points: list[Point] = []
        findings: list[Finding] = []
        for row in table.rows:
            cells = {role: row.cells[column] for column, role in roles.items()}
            more, said = self.read_row(cells, row, scope)
            points += more
            findings += said
        return points, findings

    def read_row(self, cells: Cells, row: Row, scope: Scope) -> Read:
        """Points of one row."""
        return [], []

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """Points of a whole list, or None where it isn't this kind's."""
        return None

    def goes_on(
        self, points: Sequence[Point], before: List | Table, below: List | Table, scope: Scope
    ) -> Read | None:
        """Points of a block right below one that it read, where it goes on with that; None where it doesn't."""
        return None

    def lacks_list(self, block: List, scope: Scope) -> tuple[str, str] | None:
        """What keeps a list that nobody reads from being this kind's, and how to mend it; None where it is no near
        thing."""
        return None

    def read_claim(self, claim: Claim, text: Text, scope: Scope) -> Point | None:
        """The point of what a sentence says by one of this kind's forms."""
        point = base_point(self.name, replace(text, plain=claim.subject, runs=()), scope)
        point.fields[claim.form.role] = (claim.said, *claim.more)
        if claim.word:
            point.wording["word"] = claim.word
        elif claim.form.ask == "gap":
            point.wording[claim.form.role] = claim.stem[0].upper() + claim.stem[1:]
            point.wording["back"] = claim.back
        return point

    def read_definitions(self, block: Definitions, scope: Scope) -> Read | None:
        """Points of a definition list, or None."""
        return None

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """Points of a whole paragraph that is more than a sentence, or None."""
        return None

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """Points of a heading that owns its text (a question), or None."""
        return None

    def joins(self, first: Point, second: Point) -> Point | None:
        """Two points of one key as one, where the answer is a set; None where they can't be joined."""
        return None

    def join_findings(self, first: Point, second: Point) -> list[Finding]:
        """What is said of two points that were joined, at the second one's place."""
        return []

    def drafts(self, point: Point) -> list[Draft]:
        """The questions of a point, in the order of `aspects`."""
        return []


def base_point(
    kind: str, subject: Text, scope: Scope, cells: Cells | None = None, *, marks: bool = True
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
