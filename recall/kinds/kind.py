"""What a kind is: a declaration of what it knows, and how it reads and asks."""

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import ClassVar

from recall.base.dataclass import dataclass, replace
from recall.base.finding import Finding, Place
from recall.base.text import one_line
from recall.kinds.aspect import Aspect, Texts
from recall.kinds.model import Draft, Point, Read, Scope, base_point
from recall.kinds.prose.form import Claim, SentenceForm
from recall.kinds.tables.cells import (
    Answers,
    conditions,
    leaks,
    parts_of,
    posed,
    says_none,
    within,
    without_stop,
)
from recall.kinds.tables.headers import Match as Match
from recall.kinds.tables.headers import names_of, roles_by_name, singular
from recall.kinds.tables.joining import added, go_on, is_aside, name_apart, said_again, told_apart
from recall.notes.model import Definitions, Heading, List, Paragraph, Table, Text


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a list on a sheet. below: what stands under it."""

    text: str
    critical: bool = False
    below: tuple[str, ...] = ()


class Kind:
    """One kind of knowledge. A kind is one file: it says which headers it knows, reads blocks into points, and
    asks about a point. Every method has a default, so that a kind writes only what is its own."""

    name: ClassVar[str]
    aspects: ClassVar[Sequence[Aspect | str]]
    """What is asked of a point, in order; mere names where the kind still writes `drafts` itself."""
    ways: ClassVar[Sequence[tuple[str, ...]]] = ()
    """Sentences that ask the same: the first as a card has it, which is what it is known by, with `{names}` for any
    words; then others with those words, `{It}` being `it` with a capital. The first that fits counts."""
    open: ClassVar[str] = ""
    """A sentence that asks for all that points of one `{subject}` say, for an oral; empty where there is none."""
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {}
    """Role → header names, lower case, singular; the first is the name used in help."""
    required: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Each group: at least one of these roles must be there. Empty: the kind reads no tables."""
    sure: ClassVar[frozenset[str]] = frozenset()
    """Names of answers so plain that the first column beside them is the subject, whatever it is called."""
    cells: ClassVar[Mapping[str, Callable[[str], Texts]]] = {}
    """Role → how a cell is read into answers: several of them (`parts_of`), one (`phrase`), orders (`orders`). A cell
    that says that there is none is shown."""
    conditions: ClassVar[tuple[str, ...]] = ()
    """Roles of columns that say under which condition a row holds."""
    either: ClassVar[bool] = False
    """A row needs just one of the last required roles; else the first of them that the table has."""
    due: ClassVar[str] = ""
    """What a row without its answer lacks, for messages; empty: the name of the column."""
    said_heads: ClassVar[tuple[str, ...]] = ()
    """Roles whose header a question's words depend on: `override` as `override head` in the wording."""
    named_things: ClassVar[bool] = False
    """Its answers are names of things, and a question may hold one that is part of another name."""
    ticks: ClassVar[bool] = False
    """A mere tick, `yes` or `no` is an answer."""
    shown: ClassVar[tuple[str, ...]] = ()
    """Roles of columns that no question asks about: shown with the answer, as columns are that it doesn't know."""
    rows_add_up: ClassVar[bool] = False
    """Rows of one subject are one set: a row with a blank subject is surely of the one above."""
    title: ClassVar[str] = ""
    """What a sheet calls its section; empty: the name with a capital."""
    sheet: ClassVar[Mapping[str, str]] = {}
    """How its points stand in a table of a sheet: the subject's column under an empty role, and role → column."""
    rank: ClassVar[int] = 99
    """Where its section stands on a sheet."""
    sentences: ClassVar[tuple[SentenceForm, ...]] = ()
    """The forms of plain sentences that say something of this kind, the surest first."""
    by_heading: ClassVar[bool] = False
    """Its subject is the heading above: several under one heading are told apart by their number."""
    by_item: ClassVar[bool] = False
    """Of a list it reads items one by one, each at its own line: what it leaves is read as sentences, or told."""
    owns_below: ClassVar[bool] = True
    """A heading that it reads owns all down to the next one of its level; else only the paragraphs right below."""
    led: ClassVar[bool] = False
    """The line above a list or a table says of which thing, or under which condition, all of it holds."""
    adds_up: ClassVar[bool] = False
    """What points of one subject say for various aircraft adds up: they never contradict each other."""

    @cached_property
    def by_header(self) -> dict[str, str]:
        """Header name → role."""
        return roles_by_name(self.headers)

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Whether a table whose headers name all that is required is of this kind. roles: column → role."""
        return True

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """How it would read a table, decided once; None where the table isn't of this kind."""
        columns = {role: column for column, role in roles.items()}
        named = self.required and not columns.keys().isdisjoint(self.required[0])
        sure = not self.sure.isdisjoint(names_of(table)[1:]) or (
            self.sure and len(columns.keys() & {*self.cells}) > 1
        )
        if sure and not named and 0 not in roles and table.headers[0]:
            roles, columns = {0: self.required[0][0], **roles}, {self.required[0][0]: 0, **columns}
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
        """A point a row, by what the kind declares of its columns."""
        column, subject = match.columns, match.roles[match.subject]
        due = [role for role in self.required[-1] if role in column]
        names = names_of(match.table)
        what = self.due or names[column[due[0]]]
        answers = Answers(match, subject, what, ticks=not self.ticks)
        heads = {"head": singular(match.table.headers[match.subject].plain), "due": what}
        heads |= {f"{role} head": names[column[role]] for role in self.said_heads if role in column}
        asked = [role for role in self.cells if role not in self.shown]
        filled = {
            role: [row.cells[column[role]].plain for row in match.table.rows]
            for role in asked
            if role in column
        }
        rare = {
            role for role, cells in filled.items() if 2 * sum(map(says_none, cells)) < sum(map(bool, cells))
        }
        points: list[Point] = []
        telling = [at for at in match.shown if not is_aside(match.table.headers[at].plain)]
        above: list[str] = []
        for row, cells in answers.rows():
            if subject not in cells:
                answers.nameless(row.place, names[match.subject] or subject)
                continue
            if cells.keys().isdisjoint(due if self.either else due[:1]):
                answers.gap(row.place, cells[subject].plain)
            point = base_point(self.name, within(cells, subject), scope, cells)
            point.subject = without_stop(point.subject)
            point.condition = conditions(
                cells, [role for role in self.conditions if role != subject], scope.under
            )
            point.wording = {**heads, "of": "yes"} if "of" in cells and subject != "of" else {**heads}
            for role, read in self.cells.items():
                question, words = posed(cells[role].plain) if role in cells else ("", "")
                texts = read(words) if words else ()
                if question and texts:
                    point.wording[f"{role} asked"] = question
                if texts or (role in cells and role in rare):
                    point.fields[role] = texts or (without_stop(cells[role].plain),)
                elif role in cells and column[role] not in match.shown:
                    said = one_line(match.table.headers[column[role]].plain), one_line(cells[role].plain)
                    point.extra += (said,)
            if point.fields.keys().isdisjoint(asked):
                continue
            answers.answered += 1
            other = [one_line(row.cells[at].plain) for at in telling]
            goes_on = answers.carried and not any(
                a and b and a != b for a, b in zip(other, above, strict=False)
            )
            if goes_on and points and points[-1].key("") == point.key(""):
                go_on(points[-1], point, self.sets)
            else:
                points.append(point)
            above = other
        if not self.rows_add_up:
            name_apart(points, match)
        return points, answers.said()

    @property
    def sets(self) -> frozenset[str]:
        """Roles whose answers are a set."""
        return frozenset(role for role, read in self.cells.items() if read is parts_of)

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

    def aside(self, text: Text, scope: Scope) -> Sequence[Point]:
        """Points of what running text says in passing, each left out where other places of the deck say it."""
        return ()

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """Points of a heading that owns its text (a question), or None. place: where the text begins."""
        return None

    def joins(self, first: Point, second: Point) -> Point | None:
        """Two points of one key as one, where the answer is a set; None where they can't be joined: one denies the
        other, they differ in an answer that is no set, or a column that isn't known tells them apart."""
        shown = [name for role in self.shown for name in self.headers[role]]
        if any(
            first.wording.get(f"{role} asked") != second.wording.get(f"{role} asked") for role in self.sets
        ):
            return None
        if not self.rows_add_up or told_apart(first, second, shown):
            return None
        return added(first, second, self.sets)

    def join_findings(self, first: Point, second: Point) -> list[Finding]:
        """What is said of two points that were joined, at the second one's place: it says the same again."""
        return said_again(first, second) if self.sets else []

    def said(self, part: Point, role: str) -> str:
        """What a point, or a part of one, says under a role's column of a sheet."""
        return " ".join((part.wording.get(f"{role} asked", ""), "; ".join(part.fields.get(role, ())))).strip()

    def lines(self, point: Point) -> Sequence[Line] | None:
        """A point as a list on a sheet; None where it stands in a table."""
        return None

    def words(self, point: Point) -> dict[str, str]:
        """The words of a point for the sentences of its aspects."""
        said = {role: "; ".join(texts).rstrip(".") for role, texts in point.fields.items()}
        return {**said, "subject": point.subject, "named": point.named()}

    def drafts(self, point: Point) -> list[Draft]:
        """The questions of a point, in the order of `aspects`; none that says its own answer."""
        words = self.words(point)
        aspects = (aspect for aspect in self.aspects if isinstance(aspect, Aspect))
        asked: list[Draft] = []
        for draft in (draft for aspect in aspects for draft in aspect.drafts(point, words)):
            texts = draft.answer.texts
            asked += [draft] if self.named_things or not leaks(draft.prompt, texts) else []
        return asked
