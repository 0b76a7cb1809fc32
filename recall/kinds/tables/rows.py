"""A table's rows, settled once for all kinds: marks of footnotes, ids, ditto marks, rows that go on with the one
above, heads that are repeated, rows that are too wide."""

from collections.abc import Collection, Mapping, Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, finding
from recall.base.text import key_form, one_line, shown
from recall.notes.model import Block, Row, Table, Text

_DITTO = re.any_case(r"(?:[\"”“″〃]|''|-\"-|ditto|do\.|\(?(?:the )?same(?: as above)?\)?|\(?as above\)?)\.?")
_FIRST_OF_DITTO = "\"”“″〃'-dDsStTaA("
_LONGEST_DITTO = 19
MARK = re.compile(r"\s*\[\^([\w-]{1,30})\]|(?<=[\w)%°.²³])\s?([*†‡§]{1,3})$")
"""Marks of footnotes in a cell."""
_ARROW = re.exact(r"\s*(?:→|⟶|⇒|->|=>|-->)\s*", holds=("→", "⟶", "⇒", "->", "=>"))
_ID = re.compile(r"\s*\{#([^{}\s]+)\}$")


@dataclass(slots=True)
class Sheet:
    """A table with its rows settled. raw: cells with their marks, by line and column; notes: what footnotes say of a
    row, by line: header and words; ids: by line; carried: line and column of the cells that say `as above`."""

    table: Table
    findings: list[Finding] = field(default_factory=list)
    raw: dict[tuple[int, int], str] = field(default_factory=dict)
    notes: dict[int, list[tuple[str, str]]] = field(default_factory=dict)
    ids: dict[int, str] = field(default_factory=dict)
    carried: set[tuple[int, int]] = field(default_factory=set)

    def text(self, row: Row, column: int) -> str:
        """A cell as it is written, with its marks."""
        return self.raw.get((row.place.line, column), row.cells[column].plain)


def side_by_side(block: Block) -> list[Block]:
    """A table whose headers stand there several times over (`Speed | KIAS | Speed | KIAS`) as the tables that it is;
    any other block as it is."""
    names = [key_form(header.plain) for header in block.headers] if isinstance(block, Table) else []
    count = len(names)
    wide = next((at for at in range(2, count // 2 + 1) if names == names[:at] * (count // at)), 0)
    if not (isinstance(block, Table) and wide and all(names)):
        return [block]
    tables: list[Block] = []
    for at in range(0, count, wide):
        cut = slice(at, at + wide)
        rows = (replace(row, cells=row.cells[cut], spare=row.spare * (not at)) for row in block.rows)
        filled = tuple(row for row in rows if any((*row.cells, *row.spare)))
        place = block.headers[at].place if at else block.place
        tables.append(replace(block, headers=block.headers[cut], rows=filled, place=place))
    return tables


def settled(table: Table, footnotes: Mapping[str, str]) -> Sheet:
    """The table with all that can be settled before anybody knows its kind."""
    table = _parted(table)
    headers = tuple(_unmarked(header)[0] for header in table.headers)
    sheet = Sheet(replace(table, headers=headers) if headers != table.headers else table)
    head = [key_form(header.plain) for header in headers]
    rows: list[Row] = []
    above: Row | None = None
    for row in table.rows:
        if row.spare and any(row.spare):
            message = f"row that begins `{head_of(row)}` has more cells than the table has headers"
            help = "write a `|` inside a cell as `\\|`, or add the header"
            sheet.findings.append(finding("unrecognised-table", row.place, message, help))
            above = None
            continue
        same = (key_form(cell.plain) == name for cell, name in zip(row.cells, head, strict=False))
        if head[0] and all(same):  # printed on several pages
            continue
        settled_row = _settled_row(row, above, sheet, footnotes)
        if settled_row is None:
            message = f"row that begins `{head_of(row)}` says `as above`, and nothing stands above it"
            sheet.findings.append(finding("missing-answer", row.place, message, "write the words out"))
            above = None
            continue
        above = settled_row if any(settled_row.cells) else None
        rows.append(settled_row)
    if len(rows) != len(table.rows) or any(a is not b for a, b in zip(rows, table.rows, strict=False)):
        sheet.table = replace(sheet.table, rows=tuple(rows))
    return sheet


def _settled_row(row: Row, above: Row | None, sheet: Sheet, footnotes: Mapping[str, str]) -> Row | None:
    """A row without marks and ids, its ditto marks filled; None where one stands below nothing."""
    changed: dict[int, Text] = {}
    line = row.place.line
    for column, cell in enumerate(row.cells):
        plain = cell.plain
        if not plain:
            continue
        if _marked(plain):
            text, marks, name = _unmarked(cell)
            if text is not cell:
                changed[column] = text
                sheet.raw[line, column] = plain if not name else _ID.sub("", plain)
                if name:
                    sheet.ids[line] = name
                header = one_line(sheet.table.headers[column].plain) or "Note"
                said = [(header, footnotes[mark]) for mark in marks if mark in footnotes]
                if said:
                    sheet.notes.setdefault(line, []).extend(said)
        elif (
            plain[0] in _FIRST_OF_DITTO and len(plain) < _LONGEST_DITTO and _DITTO.fullmatch(one_line(plain))
        ):
            if above is None or not above.cells[column]:
                return None
            changed[column] = replace(above.cells[column], place=cell.place)
            sheet.carried.add((line, column))
    if not changed:
        return row
    return replace(row, cells=tuple(changed.get(at, cell) for at, cell in enumerate(row.cells)))


def _parted(table: Table) -> Table:
    """The table with a column of `A → B` under a header of that form as the two columns that it is."""
    at = next((at for at, header in enumerate(table.headers) if _ARROW.search(header.plain)), -1)
    if at < 0 or not all(_pair(row.cells[at]) for row in table.rows if row.cells[at]):
        return table
    head = _pair(table.headers[at])
    if head is None:
        return table

    def cut(cells: tuple[Text, ...]) -> tuple[Text, ...]:
        return (*cells[:at], *(_pair(cells[at]) or (cells[at], cells[at])), *cells[at + 1 :])

    rows = tuple(replace(row, cells=cut(row.cells)) for row in table.rows)
    return replace(table, headers=cut(table.headers), rows=rows)


def _pair(text: Text) -> tuple[Text, Text] | None:
    """What stands on either side of the one arrow in a text."""
    sides = [side.strip() for side in _ARROW.split(text.plain)]
    if len(sides) != 2 or not all(sides):
        return None
    first, second = (replace(text, plain=side, runs=()) for side in sides)
    return first, second


def _marked(plain: str) -> bool:
    """Whether a mark or an id may stand in a cell that isn't blank."""
    return plain[-1] in "*†‡§]}" or "[^" in plain


def _unmarked(text: Text) -> tuple[Text, list[str], str]:
    """A text without the marks of footnotes and an id at its end, the marks, and the id."""
    if not text.plain or not _marked(text.plain) or (text.runs and all(run.code for run in text.runs)):
        return text, [], ""
    name = _ID.search(text.plain)
    plain = text.plain[: name.start()] if name else text.plain
    marks = [found[1] or found[2] for found in MARK.finditer(plain)]
    plain = MARK.sub("", plain) if marks else plain
    if plain == text.plain or not plain.strip():
        return text, [], ""
    runs = tuple(replace(run, text=MARK.sub("", _ID.sub("", run.text))) for run in text.runs)
    return replace(text, plain=plain, runs=runs), marks, name[1] if name else ""


def continued(
    sheet: Sheet, subject: int, telling: Collection[int], due: Collection[int], *, adds_up: bool
) -> None:
    """Rows with a blank subject go on with the one above, where that is sure: they add to what the one above says, or
    another column tells them apart. Where it isn't, neither they nor the row above are read.

    telling: columns whose words can tell rows apart. due: columns of which each row fills one. adds_up: rows of one
    subject are one set.
    """
    rows = sheet.table.rows
    if all(row.cells[subject] or not any(row.cells) for row in rows):
        return
    out: list[Row] = []
    findings = sheet.findings
    for group in _groups(rows, subject):
        first, *more = group
        named = [row for row in group if row.cells[subject]]
        if not more and named:
            out += group
            continue
        if not named or not any(cell for at, cell in enumerate(first.cells) if at != subject):
            findings += [_nameless(sheet.table, row, subject) for row in (more if named else group)]
            out += [first] if named else []
            continue
        words = [tuple(key_form(row.cells[at].plain) for at in sorted(telling)) for row in group]
        apart = len(set(words)) == len(words) and all(any(each) for each in words)
        filled = all(any(row.cells[at] for at in due) for row in group)
        if not filled or not (adds_up or apart):
            findings += [_unsure(sheet.table, row, group, subject) for row in group]
            continue
        for row in more:
            cells = list(row.cells)
            cells[subject] = replace(first.cells[subject], place=cells[subject].place)
            sheet.carried.add((row.place.line, subject))
            out.append(replace(row, cells=tuple(cells)))
        out.insert(len(out) - len(more), first)
    sheet.table = replace(sheet.table, rows=tuple(out))


def spanned(sheet: Sheet, column: int, subject: int) -> None:
    """Fill a first column of what the subjects belong to (`System | Parameter`): blank means as above, where the row
    names its own subject and no wholly blank row parts it from the one above."""
    above: Text | None = None
    out: list[Row] = []
    for row in sheet.table.rows:
        cell = row.cells[column]
        if cell or not row.cells[subject]:
            above = cell if any(row.cells) else None
        elif above:
            sheet.carried.add((row.place.line, column))
            filled = replace(above, place=cell.place)
            row = replace(row, cells=(*row.cells[:column], filled, *row.cells[column + 1 :]))
        out.append(row)
    sheet.table = replace(sheet.table, rows=tuple(out))


def _groups(rows: Sequence[Row], subject: int) -> list[list[Row]]:
    """Rows with those below them whose subject is blank; a wholly blank row parts them."""
    groups: list[list[Row]] = []
    parted = True
    for row in rows:
        if not any(row.cells):
            parted = True
        elif row.cells[subject] or parted:
            groups.append([row])
            parted = False
        else:
            groups[-1].append(row)
    return groups


def _named(table: Table, subject: int) -> str:
    return shown(one_line(table.headers[subject].plain).casefold() or "subject")


def _nameless(table: Table, row: Row, subject: int) -> Finding:
    name = _named(table, subject)
    message = f"row doesn't say its {name}, and nothing right above it does"
    return finding("missing-answer", row.place, message, f"name the {name} in the row")


def _unsure(table: Table, row: Row, group: Sequence[Row], subject: int) -> Finding:
    name, first = _named(table, subject), f"row of `{head_of(row)}` isn't read: the row below it"
    what = first if row is group[0] else "row isn't read: it"
    message = f"{what} doesn't say its {name}, which could be the one above or none"
    return finding("missing-answer", row.place, message, f"repeat the {name} in each row")


def divides(row: Row) -> bool:
    """Whether a row is a title over those below it: a first cell in bold, and nothing beside it."""
    first, *others = row.cells
    return bool(others) and first.bold == "all" and bool(first) and not any(others)


def head_of(row: Row) -> str:
    """The first words of a row, as a message names it."""
    return shown(one_line(next((cell.plain for cell in row.cells if cell), "")))[:40]
