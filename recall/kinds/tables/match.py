"""Which kind reads a table: asked once, its verdict kept with what the columns are."""

from collections.abc import Sequence

from recall.base import regex as re
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.kind import Kind
from recall.kinds.model import Point, Scope
from recall.kinds.tables.headers import Match, heads_of, match_roles, names_of
from recall.kinds.tables.joining import is_aside
from recall.kinds.tables.rows import continued, settled, spanned
from recall.notes.model import Table
from recall.quantity import Reading, read_cell

_NO_NAME = re.compile(r"^[\W\d_]|^\S$|\d$")
"""Beginnings and ends of numbers, marks and ids."""


def matched(table: Table, kinds: Sequence[Kind], scope: Scope) -> tuple[Match, Kind] | None:
    """The kind that explains most columns of a table, the first of equals, with its verdict; None where none fits."""
    sheet = settled(table, scope.footnotes)
    names = names_of(sheet.table)
    known: list[tuple[Match, Kind]] = []
    for kind in kinds:
        if (found := kind.match(sheet.table, match_roles(names, kind.by_header))) is not None:
            known.append((found, kind))
            if found.explained >= len(names):
                break
    if not known:
        return None
    match, kind = max(known, key=lambda each: each[0].explained)
    match.sheet = sheet
    if match.subject >= 0:
        if match.subject > 0 and match.roles.get(0) in (None, "of") and _names(sheet.table):
            spanned(sheet, 0, match.subject)
        telling = match.telling if match.telling is not None else _telling(match)
        continued(sheet, match.subject, telling, match.due, adds_up=match.adds_up)
    return match, kind


def _names(table: Table) -> bool:
    """Whether the first column is one of names, and its first row has one: no numbers, marks or boxes."""
    cells = [row.cells[0].plain for row in table.rows if row.cells[0]]
    named = (
        table.headers[0] and table.rows and table.rows[0].cells[0] and not is_aside(table.headers[0].plain)
    )
    return bool(named) and not any(map(_NO_NAME.search, cells))


def _telling(match: Match) -> list[int]:
    """The columns that may tell rows of one subject apart: conditions, and columns that aren't known."""
    roles = {None, "when", "phase", "applies"}
    every = range(len(match.table.headers))
    return [at for at in every if at in match.shown or match.roles.get(at) in roles]


def weigh(points: list[Point], match: Match, kind: Kind, scope: Scope) -> None:
    """Take back what bold doesn't mean where every row is bold; give each point its unknown columns, the words of
    its footnotes, and the id that stands in its row."""
    table, subject = match.table, max(match.subject, 0)
    named = [row.cells[subject] for row in table.rows if row.cells[subject]]
    if not scope.memory and named and all(text.bold == "all" for text in named):
        for point in points:
            point.critical = point.critical and point.kind != kind.name
    heads = [one_line(header.plain) for header in table.headers]
    rows = {row.place.line: row for row in table.rows} if match.shown else {}
    for point in points:
        line = point.place.line
        if row := rows.get(line):
            cells = ((heads[at], one_line(row.cells[at].plain)) for at in match.shown)
            point.extra += tuple(cell for cell in cells if cell[1])
        if notes := match.sheet.notes.get(line):
            point.extra += tuple(note for note in notes if note not in point.extra)
        if name := match.sheet.ids.get(line):
            point.id = point.id or name


def unasked(match: Match, kind: Kind, missed: Sequence[int]) -> list[Finding]:
    """What is told of a table's columns of amounts that nobody asks about."""
    if not missed:
        return []
    table = match.table
    names = ", ".join(f"`{shown(one_line(table.headers[at].plain))}`" for at in dict.fromkeys(missed))
    what = f"table is read as {kind.name}; its column {names} isn't asked, only shown with the answer"
    help = "give its amounts a table of their own: `Parameter | Maximum`, or a name such as `Max current`"
    return [finding("unrecognised-table", table.place, what, help)]


def unrecognised(table: Table, kinds: Sequence[Kind]) -> Finding:
    """Which kind is nearest, and the column that would make the table one."""
    names = names_of(table)
    ranked = []
    for order, kind in enumerate(kinds):
        if kind.required:
            roles = match_roles(names, kind.by_header)
            groups = [group for group in kind.required if not {*roles.values()} & {*group}]
            lacks = [tuple(kind.headers[role][0] for role in group) for group in groups]
            answered = len(kind.required) - len(lacks)
            ranked.append((-answered / len(kind.required), -len(roles), order, kind, lacks, roles))
    _, _, _, kind, lacks, roles = min(ranked, key=lambda near: near[:3])
    columns = " and ".join(
        "`" + "` or `".join(name.capitalize() for name in group[:3]) + "`" for group in lacks
    )
    free = [at for at in range(len(table.headers)) if at not in roles]
    named = {at: group[0].capitalize() for at, group in zip(free, lacks, strict=False)}
    head = [named.get(at, shown(one_line(header.plain))) for at, header in enumerate(table.headers)]
    whole = " | ".join([*head, *(group[0].capitalize() for group in lacks[len(free) :])])
    own = " and ".join(f"`{kind.headers[group[0]][0].capitalize()}`" for group in kind.required)
    phases = "; where its columns are phases (`Takeoff`, `Climb`), write an amount with its unit in each cell"
    if any(isinstance(read_cell(header.plain), Reading) for header in table.headers[1:]):
        phases = "; for a grid of two conditions name its quantity above it, with the unit: `Take-off distance (m)`"
    phases = phases if kind.name == "limit" and len(table.headers) > 2 else ""
    what = f"table `{heads_of(table)}` makes no card: the nearest kind is {kind.name}, "
    what += f"which lacks a column {columns}" if lacks else "but its cells don't read as one"
    help = f"name a column {columns}, as in `{whole}`, or map this deck's own names under `columns` in the record"
    help = (
        help + phases
        if lacks
        else f"its columns are {own}: name the table's so, or write its rows as the kind takes them"
    )
    return finding("unrecognised-table", table.place, what, help)
