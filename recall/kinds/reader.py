"""Blocks into points: walks a note, keeps what holds where, and hands each block to the kind that reads it."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import Any, TypeVar

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import finding
from recall.base.text import one_line, shown
from recall.kinds.fates import Account, footnotes_told, settle
from recall.kinds.kind import Kind
from recall.kinds.model import Point, Read, Scope
from recall.kinds.plain import footnotes_of, leads, led, owned_by, plain_of, stands_below, title_over
from recall.kinds.prose.lists import Prose, items_in, stands_alone, without_items
from recall.kinds.steps.memory import leads_memory, says_memory
from recall.kinds.steps.reading import condition_of, with_bold_steps_listed
from recall.kinds.tables.headers import renamed
from recall.kinds.tables.match import matched, unasked, unrecognised, weigh
from recall.kinds.tables.rows import side_by_side
from recall.notes.model import Block, Definitions, Heading, List, Note, Paragraph, Table, Text

_SOURCE = re.compile(r"^\s*(?:source|sources|ref|reference)\s*:\s*(.+)$", re.IGNORECASE | re.DOTALL)
_APPLIES = re.compile(r"^\s*(?:applies to|applicability|effectivity)\s*:\s*(.+)$", re.IGNORECASE | re.DOTALL)
Thing = TypeVar("Thing")


@dataclass(slots=True)
class _Walk:
    kinds: Sequence[Kind]
    columns: Mapping[str, str]
    start: Scope
    lines: Sequence[str]
    """The note as it is written."""
    said: list[tuple[int, str, str]] = field(default_factory=list)
    """Lines such as `Source: …` that hold: level of the heading they stand under, what they say, words."""
    headings: list[Heading] = field(default_factory=list)
    counted: Counter[tuple[str, ...]] = field(default_factory=Counter)
    given: bool = False
    """Whether a point has the nearest heading's id."""
    prose: Prose = field(init=False)
    by_heading: frozenset[str] = field(init=False)
    accounts: list[Account] = field(default_factory=list)
    """Each block with what it made, in the order of reading."""

    def __post_init__(self) -> None:
        forms = tuple(form for kind in self.kinds for form in kind.sentences)
        self.prose = Prose({kind.name: kind for kind in self.kinds}, forms)
        self.by_heading = frozenset(kind.name for kind in self.kinds if kind.by_heading)

    def scope(self) -> Scope:
        holds = {"source": self.start.source, "applies": self.start.applies, "memory": ""}
        holds.update({what: words for _, what, words in self.said})
        topic = self.start.topic + tuple(one_line(above.text.plain) for above in self.headings)
        return replace(
            self.start,
            topic=topic,
            source=holds["source"],
            applies=holds["applies"],
            heading=topic[-1] if self.headings else "",
            heading_id=self.headings[-1].id if self.headings else "",
            memory=bool(self.start.memory or holds["memory"])
            or any(says_memory(above.text.plain) for above in self.headings),
        )

    def account(self, block: Block, said: str = "", **more: Any) -> Account:
        """A new account of a block. more: of what it says."""
        self.accounts.append(Account(block, said=said, doubts=self.prose.doubts, **more))
        return self.accounts[-1]

    def keep(self, account: Account, read: Read | None) -> bool:
        """Enter what a block made into its account; whether it made anything."""
        if read is None:
            return False
        for point in read[0]:
            if point.kind in self.by_heading:
                self._number(point)
        account.points += read[0]
        account.findings += read[1]
        return True

    def _number(self, point: Point) -> None:
        """Several of a kind under one heading: the second and later ones are told apart by their number, and the
        heading's id is the first one's."""
        name = (point.kind, *point.topic, point.subject, point.condition)
        self.counted[name] += 1
        if self.counted[name] > 1:
            point.condition, point.id = f"part {self.counted[name]}", ""
        if point.id and self.headings and point.id == self.headings[-1].id:
            point.id = "" if self.given else point.id
            self.given = True

    def heading(self, heading: Heading) -> None:
        while self.headings and self.headings[-1].level >= heading.level:
            self.headings.pop()
        self.said = [line for line in self.said if line[0] < heading.level and line[2] != "used"]
        self.headings.append(heading)
        self.given = False

    def blocks(self, blocks: Sequence[Block]) -> None:
        blocks = [part for block in with_bold_steps_listed(blocks) for part in side_by_side(block)]
        at = 0
        while at < len(blocks):
            known, self.prose.doubts = len(self.accounts), {}
            then = self.next(blocks, at)
            self.accounts += settle(self.accounts[known:], blocks[at:then], self.start.footnotes)
            at = then

    def next(self, blocks: Sequence[Block], at: int) -> int:
        """Read a block with those that belong to it; says where it got to."""
        block, at = blocks[at], at + 1
        if isinstance(block, Heading):
            owned = owned_by(block, blocks, at)
            self.heading(block)
            above = self.scope()
            read = self.section(self.account(block), owned, replace(above, topic=above.topic[:-1]))
            for part in owned[:read]:
                self.account(part, "asked")
            return at + read
        if isinstance(block, Paragraph) and self.line_that_holds(block):
            self.account(block, "shown")
        elif isinstance(block, Paragraph) and at < len(blocks) and leads(block, blocks[at]):
            if not condition_of(block.text.plain):  # other steps than those to recite
                self.said = [line for line in self.said if line[1] != "memory"]
            self.account(block, "the line above a list or a table")
        elif isinstance(block, List | Table):
            title, scope = title_over(*blocks[max(0, at - 3) : at]), self.scope()
            return self.run(block, blocks, at, replace(scope, heading=title) if title else scope)
        elif title_over(block, *blocks[at : at + 2]):
            self.account(block, "the line above a list or a table")
        else:
            scope = self.scope()
            whole = scope.memory and isinstance(block, Paragraph) and block.text.bold == "all"
            if whole and stands_below(blocks, at - 1):
                scope = replace(scope, memory=False)  # a remark below the items
            self.block(block, scope)
        return at

    def run(self, block: List | Table, blocks: Sequence[Block], at: int, scope: Scope) -> int:
        """Read a list or a table, and those below that go on with it; says where it got to."""
        first = len(self.accounts)
        level = self.headings[-1].level if self.headings else 0
        self.said = [
            (at, what, "used" if (at, what) == (level, "memory") else words) for at, what, words in self.said
        ]
        kind = (
            self.table(renamed(block, self.columns), scope)
            if isinstance(block, Table)
            else self.list(block, scope)
        )
        while kind is not None and at < len(blocks):
            below, then = blocks[at], at + 1
            between = below if isinstance(below, Paragraph) else None
            if between and then < len(blocks):
                below, then = blocks[then], then + 1
            if not isinstance(below, List | Table):
                break
            if between and not leads(between, below):
                below = replace(below, lead=None)
            points = unlike(point for account in self.accounts[first:] for point in account.points)
            if (more := kind.goes_on(points, block, below, scope)) is None:
                break
            self.keep(self.account(below, points=points, whole=True), more)
            if between and below.lead is not None:
                self.account(between, "the line above a list or a table")
            if between and below.lead is None:
                self.block(between, scope)
            block, at = below, then
        return at

    def line_that_holds(self, block: Paragraph) -> bool:
        level = self.headings[-1].level if self.headings else 0
        for what, pattern in (("source", _SOURCE), ("applies", _APPLIES)):
            if found := pattern.match(block.text.plain):
                self.said.append((level, what, one_line(found[1])))
                return True
        if leads_memory(block.text):
            self.said.append((level, "memory", "yes"))
            return True
        return False

    def section(self, account: Account, owned: Sequence[Block], scope: Scope) -> int:
        """Offer a heading with the text it owns to the kinds; gives back how many blocks are read with it."""
        heading = account.block
        assert isinstance(heading, Heading)
        asks = heading.text.plain.rstrip().endswith(("?", "？"))
        own = next((at for at, block in enumerate(owned) if not isinstance(block, Paragraph)), len(owned))
        steps = next(
            (at for at, block in enumerate(owned) if isinstance(block, List) and block.ordered), None
        )
        if steps and not asks and not any(isinstance(block, Heading) for block in owned[steps:]):
            # the last of what is said of an alarm: they are asked by themselves
            owned = owned[: steps - isinstance(owned[steps - 1], Heading)]
        title = heading.level == 1 and any(isinstance(block, Heading) for block in owned)
        for kind in self.kinds:
            if title and kind.owns_below:  # `# What if?` over all sections of a note
                continue
            blocks = owned if kind.owns_below else owned[:own]
            if not asks and any(isinstance(block, Table) for block in blocks):
                continue
            body = "\n\n".join(text for text in map(plain_of, blocks) if text)
            if not kind.owns_below and len(blocks) == 1 and isinstance(blocks[0], Paragraph):
                body = self.as_written(blocks[0].text)
            texts = (block.text for block in blocks if isinstance(block, Paragraph))
            if self.keep(account, kind.read_section(heading, body, next(texts, heading.text).place, scope)):
                return len(blocks)
        return 0

    def as_written(self, text: Text) -> str:
        """A paragraph with its lines as they are broken in the note, where it holds nothing but plain words."""
        words, lines, signs = one_line(text.plain), list[str](), -1
        for line in map(one_line, self.lines[text.place.line - 1 :]):
            signs += 1 + len(line)
            if not line or signs > len(words):
                break
            lines.append(line)
            if signs == len(words) and " ".join(lines) == words:
                return "\n".join(lines)
        return text.plain

    def block(self, block: Block, scope: Scope) -> None:
        if isinstance(block, List | Table):
            self.run(block, (), 0, scope)
            return
        account = self.account(block, whole=isinstance(block, Paragraph))
        for kind in self.kinds:
            if isinstance(block, Definitions) and self.keep(account, kind.read_definitions(block, scope)):
                return
            if isinstance(block, Paragraph) and self.keep(account, kind.read_paragraph(block, scope)):
                break
        else:
            if isinstance(block, Paragraph):
                self.prose.paragraph(block.text, scope)
                self.keep(account, (self.prose.take(), []))
        if isinstance(block, Paragraph):
            account.asides = [point for kind in self.kinds for point in kind.aside(block.text, scope)]

    def table(self, table: Table, scope: Scope) -> Kind | None:
        account = self.account(table)
        found = matched(table, self.kinds, scope)
        if found is None:
            account.findings.append(unrecognised(table, self.kinds))
            return None
        match, kind = found
        own = led(table, scope) if kind.led else scope
        if own is None:
            lead = shown(one_line(table.lead.plain if table.lead else ""))
            message = f"table below `{lead}` makes no card: of what it holds is said in words"
            help = "write its own name above it (`Unit 2:`), and each row in full"
            account.findings.append(finding("unrecognised-table", table.place, message, help))
            return None
        scope, account.matches, account.whole = own, [match], match.subject < 0
        points, findings = kind.read_table(match, scope)
        weigh(points, match, kind, scope)
        for other in self.kinds:
            if other is not kind and (more := other.beside(match)):
                also, said = other.read_table(more, scope)
                weigh(also, more, other, scope)
                lines = {point.place.line for point in points}
                points += [point for point in also if point.place.line in lines]
                findings += [one for one in said if one.place.line in lines]
                account.matches.append(more)
        missed = [at for other in self.kinds for at in other.misses(account.matches[-1])]
        findings += [*match.sheet.findings, *unasked(match, kind, missed)]
        self.keep(account, (points, sorted(findings, key=lambda said: said.place.line)))
        return kind

    def list(self, block: List, scope: Scope) -> Kind | None:
        account = self.account(block)
        kind = self.items(account, block, scope)
        lacks = (one.lacks_list(block, scope) for one in self.kinds)
        account.whole = kind is not None and not kind.by_item
        account.lacks = None if account.points else next(filter(None, lacks), None)
        return kind

    def items(self, account: Account, block: List, scope: Scope) -> Kind | None:
        """Read a list by the kind that takes it, or item by item."""
        if kind := self.prose.members(block, scope):
            self.keep(account, (self.prose.take(), []))
            return kind
        for kind in self.kinds:
            own = led(block, scope) if kind.led else scope
            read = kind.read_list(block, own) if own else None
            if self.keep(account, read):
                if kind.by_item and read:
                    lines = {point.place.line for point in read[0]} | {said.place.line for said in read[1]}
                    self.rest(account, block, lines, scope)
                inside = [one for item in items_in(block) for one in item.below]
                for table in (one for one in inside if isinstance(one, Table)):
                    self.within(account, table, scope)
                return kind
        read_lines: set[int] = set()
        for item in block.items:
            below = [one for one in item.below if isinstance(one, List) and one.lead is item.text]
            for one in below if not stands_alone(item) else ():
                if any(kind.read_list(one, scope) is not None for kind in self.kinds):
                    self.within(account, one, scope)
                    read_lines |= {item.place.line, *(inner.place.line for inner in items_in(one))}
        self.rest(account, block, read_lines, scope)
        return None

    def rest(self, account: Account, block: List, known: Collection[int], scope: Scope) -> None:
        """Read as sentences what a kind leaves of a list. known: the lines of the items that it reads."""
        for below in [*self.prose.bullets(without_items(block, known), scope)]:
            self.within(account, below, scope)
        self.keep(account, (self.prose.take(), []))

    def within(self, account: Account, block: Block, scope: Scope) -> None:
        """Read a block that stands in another, whose account has what it makes too."""
        first = len(self.accounts)
        self.block(block, scope)
        for inner in self.accounts[first:]:
            account.points += [*inner.points, *inner.asides]
            account.findings += inner.findings


def unlike(things: Iterable[Thing]) -> list[Thing]:
    """Each thing once, in order."""
    return list({id(one): one for one in things}.values())


def read_points(
    note: Note,
    kinds: Sequence[Kind],
    columns: Mapping[str, str],
    start: Scope,
    accounts: list[Account] | None = None,
) -> Read:
    """Points and findings of a note. columns: the deck's own header names → ours; start: what holds at its head;
    accounts: added to, each block with what it made."""
    start = replace(start, footnotes=footnotes_of(note))
    walk = _Walk(kinds, columns, start, note.lines)
    walk.blocks(note.blocks)
    points = unlike(point for one in walk.accounts for point in (*one.points, *one.asides))
    walk.accounts += footnotes_told(note.lines, note.file, start.footnotes, points)
    if accounts is not None:
        accounts += walk.accounts
    return points, unlike(said for one in walk.accounts for said in one.findings)
