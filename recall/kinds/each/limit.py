"""Limits: parameters with their minimum, maximum, normal value and thresholds, in tables and matrices."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.kinds.english import upper
from recall.kinds.kind import Kind, Match
from recall.kinds.limits.ask import BEYOND, drafts_of, plain, time_of
from recall.kinds.limits.checks import contradicts
from recall.kinds.limits.columns import AMOUNTS
from recall.kinds.limits.headers import ASIDE, HEADERS, LOGGED
from recall.kinds.limits.layout import amounts_in, beside, layout_of
from recall.kinds.limits.rows import RowReader
from recall.kinds.model import Draft, Point, Read, Scope
from recall.kinds.prose.form import Claim, SentenceForm, forms
from recall.kinds.tables.joining import is_aside, name_apart
from recall.kinds.tables.match import matched
from recall.notes.model import Item, List, Paragraph, Table, Text
from recall.quantity import Words

_SHOWN = ("author", "checked by", "default", "owner", "revision", "significance", "status", "by")
"""Columns that are shown with a limit and never say what it is of."""
_ASPECTS = {side: aspect for aspect, side in BEYOND.items()}
_NO_NAMES = (None, "caution", "warning")
"""What the header of a column of names may say, and still no other column is explained by it (`Alarm | Limit`)."""
_NUMBERS = re.compile(r"\d{1,3}( ?(?:-|–|to) ?\d{1,3})?")
_DIGIT = re.compile(r"\d")

_ALERTS = ("caution", "warning", "shutdown")
_ENDS = (
    "maximum", "minimum", "upper limit of", "lower limit of", "forward limit of", "aft limit of", "normal range of",
)  # fmt: skip
"""What is asked of a quantity."""


class Limit(Kind):
    """Operating limits."""

    name = "limit"
    rank = 20
    title = "Limits"
    sheet: ClassVar[Mapping[str, str]] = {
        "": "Parameter",
        **{role: role.capitalize() for role in ("minimum", "normal", "value", "maximum", *_ALERTS)},
        "duration": "For",
        "below": "If below",
        "above": "If above",
        "action": "If exceeded",
    }
    open = "Tell me all limits of {subject}."
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        (
            "{it}: what are the {n} limits, and for how long is each allowed?",
            "{it}: name the {n} limits, each with the time for which it is allowed.",
        ),
        ("{when}: V{speed}, in {unit}?", "{when}: what is V{speed}, in {unit}?"),
        ("{it}. What do you do?", "{it}. What is your action?", "{it}. What action do you take?"),
        ("{it}. What follows?", "{it}. What then?"),
        *(
            way
            for end in _ENDS
            for way in (
                (
                    f"{upper(end)} {{it}}?",
                    f"What is the {end} {{it}}?",
                    f"State the {end} {{it}}.",
                ),
                (
                    f"{{when}}: {end} {{it}}?",
                    f"{{when}}: what is the {end} {{it}}?",
                    f"{{when}}: state the {end} {{it}}.",
                ),
            )
        ),
    )
    aspects = (*AMOUNTS, "duration", "reading", *BEYOND)
    headers = HEADERS
    by_item = True
    led = True
    sentences: ClassVar[tuple[SentenceForm, ...]] = forms(
        "limit",
        ("value", r"(?:the )?(?P<x>[^:=]*\b{extreme}\b[^:=]*?)(?: is| are|:| =) (?P<y>.*\d.*)"),
        (
            "value",
            r"(?:the )?(?P<x>.+?) (?:must|shall|may|should|can) (?P<y>(?:not|never) {beyond} [+\-−]?\d.*)",
        ),
        ("value", r"(?:the )?(?P<x>.+?) (?:{must}|should) (?P<y>{keep} (?:{compared} )?[+\-−]?\d.*)"),
        ("value", r"(?:the )?(?P<x>.+?) (?:is|are) (?P<lead>limited to) (?P<y>[+\-−]?\d.*)"),
        ("value", r"(?:the )?(?P<x>{extreme}\.? [^\d:=,;()]+?) (?P<y>[+\-−]?\d(?:[^,;]|,\d{{3}}\b)*)"),
    )
    required = (("parameter",), ("minimum", "maximum", "normal", "value", "caution", "warning"))

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Parameters down the side, a matrix of conditions and quantities, or the marks of one instrument under its
        heading."""
        layout = layout_of(table, roles)
        if layout is None:
            return None
        known = layout.columns
        spare = [column for column in range(len(table.headers)) if column not in known]
        explained = len(known) - (0 in known and roles.get(0) in _NO_NAMES) - (not layout.sure)
        subject = layout.label
        labels = [column for column in (layout.subject, layout.condition) if column not in (-1, subject)]
        telling = [column for column in spare if _tells(table, column)]
        amounts = [amount.column for amount in layout.amounts]
        return Match(roles, explained, subject, spare, [*labels, *telling], due=amounts, layout=layout)

    def beside(self, match: Match) -> Match | None:
        """Columns such as `Limit` or `Rating` in a table of another kind, of what its rows name."""
        subject = match.named if match.named >= 0 else match.subject
        layout = beside(match.table, subject, match.shown) if subject >= 0 else None
        if layout is None:
            return None
        spare = [at for at in match.shown if at not in layout.columns]
        return Match({}, 0, subject, spare, layout=layout, sheet=match.sheet)

    def misses(self, match: Match) -> list[int]:
        """Columns of amounts that nobody asks about."""
        return amounts_in(match.table, match.shown)

    def read_table(self, match: Match, scope: Scope) -> Read:
        """A point a row, or a cell of a matrix; more where a row holds under several conditions or times."""
        points, findings = RowReader(match, scope).read()
        telling = [column for column in match.shown if _tells(match.table, column)]
        if telling:
            name_apart(points, match, telling, all_rows=True)
        return points, findings

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """Bullets of limits, where a quarter of a list or more are such; the others are left as sentences."""
        from recall.kinds.limits.bullets import tables_in

        tables = tables_in(block, scope)
        topics = [(*scope.topic, under) if under else scope.topic for under, _ in tables]
        read = [
            self._lines(table, replace(scope, topic=to))
            for to, (_, table) in zip(topics, tables, strict=True)
        ]
        if not read:
            return None
        return [point for points, _ in read for point in points], [one for _, said in read for one in said]

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A line of its own that says a quantity and its amount, as a bullet would."""
        alone = Item(block.text, block.text.place)
        return self.read_list(List((alone,), False, block.topic, block.text.place), scope)

    def read_claim(self, claim: Claim, text: Text, scope: Scope) -> Point | None:
        """A sentence whose amount surely reads."""
        from recall.kinds.limits.bullets import amount_of, table_of

        said = re.sub(r"\b(?:be|stay|remain|get|fall|drop|rise|go) (?=\D)", "", claim.said)
        bullet = amount_of(claim.subject, f"max {said}" if claim.lead else said, text, scope)
        points, findings = self._lines(table_of([bullet], ()), scope) if bullet else ([], [])
        return points[0] if len(points) == 1 and not findings else None

    def _lines(self, table: Table, scope: Scope) -> Read:
        found = matched(table, [self], scope)
        return self.read_table(found[0], scope) if found else ([], [])

    def joins(self, first: Point, second: Point) -> Point | None:
        """Rows that differ in their time are one ladder; rows that limit different sides are one limit."""
        rungs, critical = list(first.parts or (first,)), first.critical or second.critical
        at = next((at for at, rung in enumerate(rungs) if time_of(rung) == time_of(second)), -1)
        if at < 0:
            return replace(first, parts=(*rungs, second), critical=critical)
        rung = rungs[at]
        if set(rung.amounts) & set(second.amounts) & set(AMOUNTS):
            return None
        lines = {f"{role} line": str(second.place.line) for role in second.amounts}
        fields = dict(second.fields)
        if "action" in fields and "action" in rung.fields:  # each of its own end
            fields[_ASPECTS[second.wording.get("beyond", "")]] = fields.pop("action")
        both = rungs[at] = replace(
            rung,
            amounts=second.amounts | rung.amounts,
            wording=lines | second.wording | rung.wording,
            fields=fields | rung.fields,
            why=rung.why or second.why,
            cite=rung.cite or second.cite,
            critical=critical,
        )
        if contradicts(both):
            return None
        return both if len(rungs) == 1 else replace(first, parts=tuple(rungs), critical=critical)

    def said(self, part: Point, role: str) -> str:
        """Amounts, a threshold with the word of its own header, and the time for which they hold."""
        if role == "duration":
            return held_of(part)
        if role not in AMOUNTS:
            return super().said(part, role)
        amount, wording = amount_shown(part, role), part.wording.get(role, "")
        own = role in _ALERTS and wording and wording.casefold() != role
        return f"{amount} ({wording})" if own and amount else amount

    def drafts(self, point: Point) -> list[Draft]:
        """A question for each amount, the time it holds, a reading drawn afresh, and what to do beyond it."""
        return drafts_of(point)


def amount_shown(point: Point, role: str) -> str:
    """A limit's amount as it is shown."""
    return plain(point.amounts[role], role) if role in point.amounts else ""


def held_of(point: Point) -> str:
    """For how long a limit holds, empty where nothing is said."""
    time = point.amounts.get("duration")
    if time is None:
        return point.wording.get("held", "")
    return time.text if isinstance(time, Words) else plain(time)


def _tells(table: Table, column: int) -> bool:
    """Whether a column that nobody knows may tell rows of one parameter apart: words without numbers (`Wheel`), or
    small numbers, of a log only where they are ranges (`Week 1–3`)."""
    header = table.headers[column]
    cells = [row.cells[column].plain for row in table.rows]
    if not header and column == 1:
        return all(re.search(r"[^\W\d_]{2}", cell) for cell in cells)  # `V(ESD) | Human body | ±2 kV`
    words = not any(map(_DIGIT.search, cells))
    spans = [_NUMBERS.fullmatch(cell.strip()) for cell in cells]
    logged = LOGGED.fullmatch(header.plain) is not None and not any(span and span[1] for span in spans)
    numbers = all(spans) and not logged and not ASIDE.search(header.plain)
    return bool(header) and not is_aside(header.plain, _SHOWN) and (words or numbers)
