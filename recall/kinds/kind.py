"""What a kind is: a declaration of what it knows, and how it reads and asks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from recall.base.finding import Finding, Place
from recall.kinds.model import Draft, Point, Read, Scope, base_point
from recall.kinds.prose.form import Claim, SentenceForm
from recall.kinds.tables.rows import Sheet
from recall.notes.model import Definitions, Heading, List, Paragraph, Table, Text

COMMON: dict[str, tuple[str, ...]] = {
    "source": ("source", "ref", "reference", "citation", "manual"),
    "applies": ("applies to", "applicability", "effectivity", "applicable to"),
    "id": ("id",),
    "why": ("why", "reason", "rationale", "because"),
}
"""Columns that every table may have."""


@dataclass(slots=True)
class Match:
    """How one kind reads one table.

    roles: column → role; explained: how many columns it explains; subject: the column that names a row, -1 where none
    does; shown: columns that aren't asked and are shown with the answer; telling: columns by whose words rows of one
    subject are told apart; due: columns of which each row fills one; adds_up: rows of one subject are one set;
    layout: what else the kind found out; named: the column that names what amounts in other columns are of, where
    that isn't the subject; sheet: the table itself, its rows settled.
    """

    roles: dict[int, str]
    explained: int
    subject: int = -1
    shown: Sequence[int] = ()
    telling: Sequence[int] | None = None
    due: Sequence[int] = ()
    adds_up: bool = False
    layout: Any = None
    named: int = -1
    sheet: Sheet = None  # type: ignore[assignment]  # given by the matcher, before anybody reads

    @property
    def table(self) -> Table:
        """The table with its rows settled."""
        return self.sheet.table

    @property
    def columns(self) -> dict[str, int]:
        """Role → column."""
        return {role: column for column, role in self.roles.items()}


class Kind:
    """One kind of knowledge. A kind is one file: it says which headers it knows, reads blocks into points, and
    asks about a point. Every method has a default, so that a kind writes only what is its own."""

    name: ClassVar[str]
    aspects: ClassVar[tuple[str, ...]]
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    """Role → header names, lower case, singular; the first is the name used in help."""
    required: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Each group: at least one of these roles must be there. Empty: the kind reads no tables."""
    shown: ClassVar[tuple[str, ...]] = ()
    """Roles of columns that no question asks about: shown with the answer, as columns are that it doesn't know."""
    rows_add_up: ClassVar[bool] = False
    """Rows of one subject are one set: a row with a blank subject is surely of the one above."""
    title: ClassVar[str] = ""
    """What a sheet calls its section; empty: the name with a capital."""
    sheet: ClassVar[Mapping[str, str]] = {}
    """How its points stand in a table of a sheet: the subject's column under an empty role, and role → column."""
    sentences: ClassVar[tuple[SentenceForm, ...]] = ()
    """The forms of plain sentences that say something of this kind, the surest first."""
    by_heading: ClassVar[bool] = False
    """Its subject is the heading above: several under one heading are told apart by their number."""
    by_item: ClassVar[bool] = False
    """Of a list it reads items one by one, each at its own line: what it leaves is read as sentences, or told."""
    owns_below: ClassVar[bool] = True
    """A heading that it reads owns all down to the next one of its level; else only the paragraphs right below."""
    leaves_tables: ClassVar[bool] = False
    """Tables inside the items of a list that it reads are blocks of their own."""
    adds_up: ClassVar[bool] = False
    """What points of one subject say for various aircraft adds up: they never contradict each other."""

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Whether a table whose headers name all that is required is of this kind. roles: column → role."""
        return True

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """How it would read a table, decided once; None where the table isn't of this kind."""
        columns = {role: column for column, role in roles.items()}
        if not self.required or not all(columns.keys() & set(group) for group in self.required):
            return None
        if not self.fits(table, roles):
            return None
        subject = next((columns[role] for role in self.required[0] if role in columns), -1)
        shown = [at for at in range(len(table.headers)) if roles.get(at) in (None, *self.shown)]
        due = [at for at, role in roles.items() if role in self.required[-1]]
        return Match(roles, len(roles), subject, shown, due=due, adds_up=self.rows_add_up)

    def beside(self, match: Match) -> Match | None:
        """How it would read the columns that another kind only shows; None where they are none of its own."""
        return None

    def misses(self, match: Match) -> list[int]:
        """Columns that are only shown, though they read as answers of this kind: they are told."""
        return []

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Points of a table that fits."""
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
        """Points of a heading that owns its text (a question), or None. place: where the text begins."""
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
