"""The ledger of a note: every piece of every block comes to one end. Asked or shown is what stands in the points that
were made of its block; told, what a finding speaks of; passed over, what a rule names. Nothing else is left."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Literal

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import key_form, one_line
from recall.kinds.heard import lost, said_by, stands
from recall.kinds.model import Point
from recall.kinds.plain import running
from recall.kinds.prose.form import Said
from recall.kinds.prose.sentence import FOOT
from recall.kinds.steps.telling import links
from recall.kinds.tables.cells import is_placeholder, says_none
from recall.kinds.tables.headers import Match
from recall.kinds.tables.rows import divides
from recall.notes.model import Block, Code, Definitions, Heading, List, Paragraph, Row, Table, Text
from recall.quantity import find_unit

_COUNT = re.compile(r"\(?\d+[.)]?")
_FOOTNOTE = re.compile(r"\[\^([\w-]{1,30})\]:\s")
_SPARE = re.any_case(r"\W*(?:spare|unused|not used)\W*")
Ending = Literal["asked", "shown", "told", "passed over", "unread"]
ENDINGS: tuple[Ending, ...] = ("asked", "shown", "told", "passed over")
"""The ends of pieces, what tells most first. Unread is one only until the ledger tells of it."""
Key = tuple[type, Place]


@dataclass(frozen=True, slots=True)
class Fate:
    """One piece and its one fate. piece: heading, paragraph, cell, item, definition or code; words: what it says;
    why: the finding's message, or the rule by which it is passed over; empty for what is asked or shown. Of what is
    unread: what of it is lost, where a point was made of the rest. row, head: of a cell, its row's place and its
    header."""

    place: Place
    piece: str
    words: str
    fate: Ending
    why: str = ""
    row: Place | None = None
    head: str = ""


@dataclass(slots=True)
class Account:
    """A block as it was read: the points and findings that it made. said: why it is passed over, or how it is shown
    (`asked`, `shown`); whole: a kind reads all of it as one; matches: how a table was matched, by the kinds that read
    it; doubts: by line, what keeps a sentence from being read; lacks: what keeps a list from being of a kind, and the
    cure; rest: what is told of all that nobody claims; asides: points of what it says in passing, which read none of
    it."""

    block: Block
    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    said: str = ""
    whole: bool = False
    matches: list[Match] = field(default_factory=list)
    doubts: Mapping[int, Said] = field(default_factory=dict)
    lacks: tuple[str, str] | None = None
    rest: str = ""
    asides: Sequence[Point] = ()


def key_of(block: Block) -> Key:
    """What a block is known by, also once its headers or items are others."""
    return type(block), block.text.place if isinstance(block, Heading | Paragraph) else block.place


def settle(
    accounts: Sequence[Account], blocks: Sequence[Block], footnotes: Mapping[str, str]
) -> list[Account]:
    """Every block and every piece in it accounted for: gives accounts of blocks that had none, and tells of pieces
    that nobody claims. Words beside what is read of a row, and the footnotes of a line, are shown with it."""
    known = {key_of(one.block) for one in accounts}
    others = [Account(block) for block in blocks if key_of(block) not in known]
    for account in (*accounts, *others):
        heard, left = _Heard(account), []
        for text in running((account.block,)) if footnotes else ():
            notes = [("Note", footnotes[one]) for one in FOOT.findall(text.plain) if one in footnotes]
            for point in heard.owners(text.place.line):
                point.extra += tuple(note for note in notes if note not in point.extra)
        for fate in _pieces(heard, account.block, known, frozenset(), every=False):
            beside = heard.owners(fate.row.line) if fate.row and fate.why == fate.words else ()
            for point in beside:  # words of a column that its kind doesn't use
                point.extra += ((fate.head, fate.words),)
            if fate.fate == "unread" and not beside:
                left.append(fate)
        if not left:
            continue
        from recall.kinds.unread import untold  # all of most notes is read

        if found := untold(account.block, left, account.doubts, account.lacks):
            account.rest = found[0].message
            account.findings += found
    return others


def footnotes_told(
    lines: Sequence[str], file: str, footnotes: Mapping[str, str], points: Sequence[Point]
) -> Iterator[Account]:
    """The account of each footnote of a note: shown with what it is said of, told, or prose."""
    heard = " ".join(map(said_by, points)).casefold() if footnotes else ""
    for line, words in enumerate(lines, 1):
        if words[:1] != "[" or not (found := _FOOTNOTE.match(words)) or found[1] not in footnotes:
            continue
        from recall.kinds.unread import tells

        said, place = footnotes[found[1]], Place(file, line)
        account = Account(Paragraph(Text(said, place), ()), said="" if tells(said) else "prose")
        if said.casefold() in heard:
            account.said = "shown"
        elif tells(said):
            message = f"footnote `[^{found[1]}]` isn't shown: no question is asked of what it is said of"
            help = "write what it says where it belongs, as a sentence or a row of its own"
            account.findings.append(finding("unread-sentence", place, message, help))
        yield account


def fates_of(accounts: Sequence[Account], first: int = 1, last: int = 1 << 30) -> list[Fate]:
    """Each piece of the blocks with its fate, in order. first, last: lines that are looked at; tables beyond are left
    out."""
    fates: dict[tuple[str, int, int, str], Fate] = {}
    known = {key_of(account.block) for account in accounts}
    for account in accounts:
        rows = account.block.rows if isinstance(account.block, Table) else ()
        if rows and not (rows[0].place.line <= last and first <= rows[-1].place.line):
            continue
        for fate in _pieces(_Heard(account), account.block, known, frozenset(), every=True):
            key = fate.place.file, fate.place.line, fate.place.column, fate.piece
            if key not in fates or ENDINGS.index(fate.fate) < ENDINGS.index(fates[key].fate):
                fates[key] = replace(fate, row=None, head="")
    return [fates[key] for key in sorted(fates)]


class _Heard:
    """What the points and findings of an account say, by their lines and as a whole."""

    def __init__(self, account: Account) -> None:
        self.account = account
        self._on: dict[int, list[tuple[Point, Point]]] = {}
        for point in account.points:
            for one in () if point.faulty else (point, *point.parts):
                self._on.setdefault(one.place.line, []).append((point, one))
        self.at: dict[Place, str] = {}
        self.told: dict[int, str] = {}
        for said in account.findings:
            self.at.setdefault(said.place, said.message)
            self.told.setdefault(said.place.line, said.message)

    def owners(self, line: int) -> list[Point]:
        """The points of which something stands on a line."""
        return list({id(point): point for point, _ in self._on.get(line, ())}.values())

    def tells(self, lines: Collection[int]) -> str:
        """What is told of lines, or of the whole block where that is read as one or not at all."""
        return next((self.told[line] for line in lines if line in self.told), "") or self.whole

    @cached_property
    def whole(self) -> str:
        """What is told of the whole block, or of all in it that nobody claims."""
        account, own = self.account, key_of(self.account.block)[1]
        for said in account.findings:
            unread = not account.points and (said.place == own or account.whole)
            if unread or said.rule == "empty-template":
                return said.message
        return account.rest

    @cached_property
    def all(self) -> str:
        """All that they say."""
        return " ".join(map(said_by, self.account.points))

    def on(self, lines: Collection[int]) -> str:
        """What is said on lines; empty where no point stands there."""
        return " ".join(said_by(one, parts=False) for line in lines for _, one in self._on.get(line, ()))

    def ended(self, fate: Fate, *, read: bool, told: str, why: str, missed: str) -> Fate:
        """A piece with its fate. read: somebody claims it; told: what is told of it; why: by which rule it is passed
        over; missed: what of it is lost, though its rest is read."""
        if self.account.said in ("asked", "shown"):
            return replace(fate, fate="asked" if self.account.said == "asked" else "shown")
        if read:
            return fate
        if told:
            return replace(fate, fate="told", why=told)
        why = "" if missed else why
        return replace(fate, fate="passed over" if why else "unread", why=why or missed)


def _pieces(
    heard: _Heard, block: Block, elsewhere: Collection[Key], above: frozenset[int], *, every: bool
) -> Iterator[Fate]:
    """The fates of all pieces of a block; those of blocks in it that have an account of their own are told there.
    above: the lines of the item that it stands below; every: also of cells that are asked or shown."""
    account = heard.account
    if isinstance(block, Table):
        yield from _cells(heard, block, every=every)
    elif isinstance(block, List):
        for item in block.items:
            lines = frozenset((item.place.line, item.text.place.line))
            over = any(isinstance(below, List | Table | Code) for below in item.below)
            why = "a link" if links(item.text) else "a title over what stands below it" if over else ""
            yield _line(heard, "item", item.text, lines, why)
            for below in item.below:
                if key_of(below) not in elsewhere:
                    yield from _pieces(heard, below, elsewhere, lines, every=every)
    elif isinstance(block, Definitions):
        for entry in block.entries:
            yield _line(heard, "definition", entry.term, frozenset((entry.term.place.line,)), "")
    elif isinstance(block, Heading):
        why = "" if account.points else account.said or "a heading"
        fate: Ending = "asked" if account.points else "passed over"
        yield Fate(block.text.place, "heading", one_line(block.text.plain), fate, why)
    elif isinstance(block, Paragraph):
        from recall.kinds.unread import is_prose

        line = block.text.place.line
        why = "prose" if is_prose(block.text, account.doubts.get(line)) else ""
        yield _line(heard, "paragraph", block.text, above | {line}, why)
    else:
        from recall.kinds.unread import reads_as

        why = "" if reads_as(block) else "code"
        yield _line(heard, "code", Text(block.plain, block.place), frozenset((block.place.line,)), why)


def _line(heard: _Heard, piece: str, text: Text, lines: frozenset[int], why: str) -> Fate:
    """The fate of what stands in one place. why: the rule by which it is passed over if nobody claims it."""
    words, said, below = one_line(text.plain), heard.on(lines), text.place.line != min(lines)
    missed = lost(words, said) if said and not below else ""
    own = said and not missed and (not below or stands(words, said))
    read = own or (heard.account.whole and stands(words, heard.all))
    fate, why = Fate(text.place, piece, words, "asked"), why or heard.account.said
    return heard.ended(fate, read=bool(read), told=heard.tells(lines), why=why, missed=missed)


def _cells(heard: _Heard, table: Table, *, every: bool) -> Iterator[Fate]:
    """Of a table: a cell is asked where its row makes a point and its column is known, else shown with that point."""
    account = heard.account
    shown = set(range(len(table.headers))) if account.matches else set()
    counted = set() if account.matches else {0}  # steps that go on with those of the table above
    carried: set[tuple[int, int]] = set()
    units: set[int] = set()
    for match in account.matches:
        shown &= set(match.shown)
        carried |= match.sheet.carried
        counted |= {at for at, role in match.roles.items() if role == "step"}
        units |= {at for at, role in match.roles.items() if role == "unit"}
    head = [key_form(header.plain) for header in table.headers]
    matrix = any(getattr(match.layout, "matrix", False) for match in account.matches)
    for row in table.rows:
        said = heard.on({row.place.line, row.cells[0].place.line})
        cells = range(len(row.cells)) if carried else ()
        filled = {at for at in cells if (row.place.line, at) in carried}
        if account.whole or filled:  # a row that goes on with the one above
            rest = [cell.plain for at, cell in enumerate(row.cells) if at not in counted | filled]
            own = " ".join(one for one in rest if not is_placeholder(one)) or " ".join(rest)
            said = heard.all if stands(own, heard.all) else said
        rule = (
            ""
            if said
            else "a row left open"
            if matrix and sum(map(bool, row.cells)) == 1
            else _rule(row, head)
        )
        for at, cell in enumerate((*row.cells, *row.spare)):
            if not cell or (not every and said is not heard.all and cell.plain in said):
                continue
            words = one_line(cell.plain)
            missed = _missed(words, said, unsaid=at in units or at in filled) if said else ""
            if said and not missed and not every:  # asked, shown or told
                continue
            here = heard.at.get(cell.place, "")
            told = here or heard.tells({row.place.line})
            fate = Fate(cell.place, "cell", words, "asked", row=row.place)
            read = bool(said) and not here and not missed
            ended = heard.ended(fate, read=read, told=told, why=rule, missed=missed)
            if at in counted and _COUNT.fullmatch(words) and not account.said:
                ended = replace(ended, fate="passed over", why="the number of a step")
            seen = at in shown and ended.fate == "asked"
            over = one_line(table.headers[at].plain) if at < len(table.headers) else ""
            yield replace(ended, fate="shown" if seen else ended.fate, head=over)


def _missed(words: str, said: str, *, unsaid: bool) -> str:
    """What of a cell isn't said of its row. unsaid: its words needn't be, but for its numbers."""
    unsaid = unsaid or is_placeholder(words) or says_none(words) or find_unit(words) is not None
    return lost(words, said) or ("" if unsaid or stands(words, said, 99) else words)


def _rule(row: Row, head: Sequence[str]) -> str:
    """By which rule a row is passed over."""
    if any(_SPARE.fullmatch(cell.plain) for cell in row.cells):
        return "a place for nothing"
    if divides(row):
        return "a title over the rows below it"
    again = all(key_form(cell.plain) == name for cell, name in zip(row.cells, head, strict=True))
    return "the head of the table over again" if again else ""
