"""The kind `flow`: steps in their order. Ordered lists, tables of steps, dotted challenge and response."""

from collections.abc import Iterator, Mapping, Sequence
from itertools import islice
from typing import ClassVar

from recall.answers import in_order
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Place, finding
from recall.base.text import one_line, shown
from recall.kinds.aspect import Aspect, Part
from recall.kinds.each.memory_item import called, memory_item
from recall.kinds.english import upper
from recall.kinds.kind import Kind, Line, Match
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.prose.lexicon import by_role
from recall.kinds.steps import reading
from recall.kinds.steps.telling import is_contents, is_dotted, is_order, is_procedure, tells
from recall.kinds.tables.headers import heads_of, match_roles, names_of
from recall.kinds.tables.rows import settled
from recall.notes.model import List, Table, Text

_MOST_TYPED = 5
"""Words of a step where the whole is typed and marked."""
_STAGES = re.any_case(r"(?:the )?((?:stage|phase|layer|class|part|rank|level)e?s) of\b")
"""What the members of a sequence are called that nobody does step by step."""
_NUMBERED = frozenset(("#", "no", "nr", "order", "seq", "sequence", "check", "call"))
_PLAIN_ACTION = frozenset(
    ("action", "response", "procedure", "instruction", "instructions", "actions", "reply", "do", "what to do")
)
_TASKS = re.any_case(
    r"owner|status|due|deadline|date|assignee|assigned to|priority|progress|effort|estimate|milestone|responsible|"
    r"hours|cost|price|points|score|team|version|parameters?|returns?|endpoint|method|url"
)
"""Columns of a table that plans work or lists an interface."""


def _if_skipped(step: Point) -> list[str]:
    return [f"If skipped: {text}" for text in step.fields.get("skipped", ())]


def _each(point: Point) -> Iterator[Part]:
    """Each step behind the one before it, where the flow branches and nobody recites it as a whole."""
    texts = [step.subject for step in point.parts]
    if "branches" not in point.wording and len(texts) > 1:
        return
    for at, step in enumerate(point.parts):
        before = texts[at - 1] if at else ""
        again = texts.count(before) > 1
        asked = f"after “{before}”{f' (step {at})' if again else ''}, what comes next?"
        key = f"after {before}{f' ({at})' if again else ''}"
        if at >= int(point.wording.get("recited", 0)):
            yield (
                Part(key, step, {"asked": asked})
                if at
                else Part("first", step, {"asked": "what is the first step?"})
            )


def _whole(point: Point) -> Iterator[Part]:
    """All of its steps, without those that a memory item asks."""
    steps = tuple(step.subject for step in point.parts)
    if "branches" in point.wording or len(steps) < 2:
        return
    rest = steps[int(point.wording.get("recited", 0)) :]
    after = "after the memory items" if len(rest) < len(steps) else ""
    stages = _STAGES.match(point.subject)
    asked = f"recite the {len(rest)} steps {after + ', ' if after else ''}in order."
    asked = f"name the {len(rest)} {stages[1].casefold()} in order." if stages else asked
    asked = asked if len(rest) > 1 else f"what comes {after}?"
    yield Part(after, replace(point, fields={"steps": rest}), {"asked": asked})


def _steps(point: Point) -> Iterator[Part]:
    """Each step by its words, and by its number where they come twice."""
    texts = [step.subject for step in point.parts]
    for at, step in enumerate(point.parts, 1):
        part = f"{step.subject} (step {at})" if texts.count(step.subject) > 1 else step.subject
        yield Part(part, step, {"step": part})


class Flow(Kind):
    """A procedure: its steps in order, with a reason and what follows when a step is skipped."""

    name = "flow"
    rank = 80
    title = "Flows"
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("{it}: recite the 2 steps in order.", "{it}: say both steps in order."),
        ("{it}: recite the {n} steps in order.", "{it}: say all {n} steps, from first to last."),
        ("{it}: name the {n} {what} in order.", "{it}: say all {n} {what}, from first to last."),
        ("{it}: give the reason for “{step}”.", "{it}: what is the reason for “{step}”?"),
        ("{it}: what follows if “{step}” is skipped?", "{it}: “{step}” is left out. What follows?"),
    )
    aspects = (
        Aspect("next", "", "{named}: {asked}", parts=_each),
        Aspect("order", "steps", "{named}: {asked}", form=lambda steps: in_order(steps, _MOST_TYPED), parts=_whole),
        Aspect("reason", "reason", "{named}: give the reason for “{step}”.", parts=_steps),
        Aspect("skipped", "skipped", "{named}: what follows if “{step}” is skipped?", parts=_steps),
    )  # fmt: skip
    by_heading = True
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role("""
        step: step, #, no, nr, step no, step number, seq, sequence, order
        challenge: challenge, call, check
        item: item, system, condition, system/condition, system or condition, control, switch, component,
            area, location
        action: action, task, do, activity, procedure, instruction, position, setting, what to do, required
            action, crew action
        response: response, reply, answer
        expected: expected, expected result, result, indication, observe, verify, confirm, expected
            indication, expected outcome, check for
        reason: reason, why, rationale, because
        skipped: if skipped, if omitted, if left out, if missed, when skipped
    """)
    required = (("step", "challenge"), ("action", "response"))

    def lines(self, point: Point) -> Sequence[Line]:
        """Its steps with their reasons and what follows when they are skipped."""
        below = ((*step.fields.get("reason", ()), *_if_skipped(step)) for step in point.parts)
        return [
            Line(step.subject, step.critical, said) for step, said in zip(point.parts, below, strict=True)
        ]

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Steps or challenges with actions, in no plan of work; a mere number counts beside a plain action."""
        names = names_of(table)
        named = {role: names[at] for at, role in roles.items()}
        if any(_TASKS.fullmatch(name) for at, name in enumerate(names) if at not in roles):
            return False
        weak = named.get("step", named.get("challenge", "")) in _NUMBERED
        column = next((at for at, role in roles.items() if role in ("action", "response")), -1)
        return column >= 0 and (not weak or names[column] in _PLAIN_ACTION or _orders(table, column))

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """A row is a step: what it says besides is shown with the whole flow."""
        if "step" in roles.values() and not {"action", "response"} & {*roles.values()}:
            free = (at for at in range(len(table.headers)) if at not in roles and _orders(table, at))
            roles = {**roles, **dict.fromkeys(islice(free, 1), "action")}
            if {"challenge", "expected"} <= {*roles.values()} and "action" not in roles.values():
                roles = {at: "response" if role == "expected" else role for at, role in roles.items()}
        match = super().match(table, _with_item(table, roles))
        return replace(match, subject=-1, layout=match.shown, shown=()) if match is not None else None

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """A list of two steps or more that reads as a procedure."""
        if len(block.items) < 2 or not _is_flow(block, scope):
            return None
        return _points(reading.listed_steps(block), reading.title_of(block.lead, scope), block.place, scope)

    def lacks_list(self, block: List, scope: Scope) -> tuple[str, str] | None:
        """Why a list in numbers, or one with challenges in it, is no flow."""
        first = shown(one_line(block.items[0].text.plain))[:60]
        lines = [item.text.plain for item in block.items]
        if block.ordered and len(lines) > 1 and not is_contents(block):
            return (
                f"numbered list that begins `{first}` makes no card: the nearest kind is flow, but its items don't "
                "read as steps",
                "write steps as orders or positions (`Set …`, `Gear UP`), or put a line such as "
                "`In this order:` above them",
            )
        if any(is_dotted(line) or item.box for line, item in zip(lines, block.items, strict=True)):
            return (
                f"list that begins `{first}` makes no card: the nearest kind is flow, but not every item is a "
                "challenge with its response",
                "write each item as `Throttle ... IDLE` or `Throttle – IDLE`, or number the items",
            )
        return None

    def read_table(self, match: Match, scope: Scope) -> Read:
        """A table of steps is one flow."""
        table = match.table
        found = reading.tabled_steps(match)
        if len(found.steps) > 1 or not found.whole:
            return _points(found, reading.title_of(table.lead, scope), table.place, scope)
        heads = heads_of(table)
        message = f"table `{heads}` makes no card: the nearest kind is flow, which takes two steps or more"
        return [], [finding("unrecognised-table", table.place, message, "add the other steps")]

    def goes_on(
        self, points: Sequence[Point], before: List | Table, below: List | Table, scope: Scope
    ) -> Read | None:
        """Steps under a condition below a flow (`If it fires:`) are a branch of it, and a table that counts on goes
        on with it. points: those of `before`."""
        trunk = next((point for point in reversed(points) if "branch" not in point.wording), None)
        condition = reading.condition_of(below.lead.plain) if below.lead else ""
        if trunk is not None and condition and reading.condition_of(f"{trunk.subject}:"):
            return None  # a case beside another
        if trunk is None or bool(below.lead and below.lead is not before.lead) != bool(condition):
            return None
        if condition:
            trunk.wording["branches"] = "yes"
        if isinstance(below, Table):
            roles = self._roles(before, below, condition)
            spare = [at for at in range(len(below.headers)) if at not in roles]
            match = Match(roles, len(roles), layout=spare, sheet=settled(below, scope.footnotes))
            found = reading.tabled_steps(match) if roles else reading.Steps()
        else:
            lines = [item.text.plain for item in below.items]
            steps = below.ordered or _is_flow(below, scope) or all(map(tells, lines))
            found = reading.listed_steps(below) if steps else reading.Steps()
        if not found.whole:
            return [], found.findings
        if not found.steps:
            return None
        if condition:
            found.steps = [replace(step, condition=step.condition or condition) for step in found.steps]
            return _points(found, trunk.subject, below.place, scope, trunk)
        trunk.parts += tuple(_part(step, scope) for step in found.steps)
        trunk.extra += _extra(found.steps)
        return [], found.findings

    def _roles(self, before: List | Table, below: Table, condition: str) -> dict[int, str]:
        """The roles of a table that goes on: its own, or those of the table above where its headers are blank or the
        same; nothing where it is no table of steps."""
        if isinstance(before, Table) and len(before.headers) == len(below.headers):
            names, known = names_of(below), match_roles(names_of(before), self.by_header)
            if (not any(names) or names == names_of(before)) and _counts_on(before, below, known):
                return known
        roles = match_roles(names_of(below), self.by_header)
        return roles if condition and self.fits(below, roles) else {}

    def words(self, point: Point) -> dict[str, str]:
        """What it is called, without what the question says itself."""
        return {"named": upper(called(point))}


def _orders(table: Table, column: int) -> bool:
    """Whether most cells of a column are orders."""
    return 2 * sum(is_order(row.cells[column].plain) for row in table.rows) > len(table.rows)


def _with_item(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with the column left of the actions as the item, where these are mere positions (`Unit | Action`)."""
    at = next((column for column, role in roles.items() if role in ("action", "response")), 0)
    bare = sum(len(row.cells[at].plain.split()) < 2 for row in table.rows) * 2 > len(table.rows)
    named = {"item", "challenge"} & {*roles.values()} or at - 1 in roles
    if at < 1 or named or not bare or not all(row.cells[at - 1] for row in table.rows):
        return roles
    return {**roles, at - 1: "item"}


def _is_flow(block: List, scope: Scope) -> bool:
    """Whether a list is a procedure."""
    items = [item for item in block.items if item.below or not reading.condition_of(item.text.plain)]
    texts = [one_line(item.text.plain) for item in items]
    return is_procedure(block, scope.heading, scope.topic[:-1], texts, recited=scope.memory)


def _counts_on(before: Table, below: Table, roles: Mapping[int, str]) -> bool:
    """Whether the numbers of one table of steps go on in another; a branch may begin with any but the first."""
    at = next((column for column, role in roles.items() if role == "step"), None)
    if at is None:
        return bool(below.lead)
    first, then = (
        [int(found[0]) for row in table.rows if (found := re.search(r"\d+", row.cells[at].plain))]
        for table in (before, below)
    )
    return bool(first and then) and then[0] > (first[0] if below.lead else first[-1])


def _points(found: reading.Steps, title: str, place: Place, scope: Scope, trunk: Point | None = None) -> Read:
    """The flow of all steps in the order of the note, one more for each condition under which it branches, and the
    memory item of the steps that bold or their place marks; only that where all are marked. Nothing where a step is
    missing, or nothing names the whole. trunk: the flow above that these branch off."""
    if not title and found.whole:
        message = "steps make no card: nothing says what they are for"
        found.findings.append(
            finding("unrecognised-list", place, message, "put a heading above them, or a bold line")
        )
        found.whole = False
    if not found.whole:
        return [], found.findings
    scope = replace(scope, source=found.source or scope.source, applies=found.applies or scope.applies)
    points: list[Point] = []
    branches = trunk is not None
    for condition in dict.fromkeys(step.condition for step in found.steps):
        steps = [step for step in found.steps if step.condition == condition]
        named = f"{title}, {condition}" if condition else title
        count = reading.marked(steps) or (len(steps) if scope.memory else 0)
        if count:
            points.append(memory_item(steps[:count], named, scope))
        if count < len(steps):
            flow = base_point("flow", Text(named, steps[0].place if condition else place), scope)
            flow.parts = tuple(_part(step, scope, critical=at < count) for at, step in enumerate(steps))
            flow.extra = _extra(steps)
            flow.wording = {"recited": str(count)} if count else {}
            if any(reading.GOES_TO.search(step.text) for step in steps) or reading.parts_ways(steps):
                flow.wording["branches"] = "yes"
            points.append(flow)
        if not condition:
            trunk = points[-1]
        elif trunk is not None:
            trunk.wording["branches"] = "yes"
            points[-1].wording["branch"] = condition
    points[-1].id = found.id or ("" if branches else scope.heading_id)
    return points, found.findings


def _extra(steps: Sequence[reading.Step]) -> tuple[tuple[str, str], ...]:
    """What unknown columns say of the steps, a line a column."""
    said: dict[str, list[str]] = {}
    for step in steps:
        for header, words in step.extra:
            said.setdefault(header, []).append(f"{step.text}: {words}")
    return tuple((header, "; ".join(words)) for header, words in said.items())


def _part(step: reading.Step, scope: Scope, *, critical: bool = False) -> Point:
    part = base_point("flow", Text(step.text, step.place), scope)
    part.fields = {role: (said,) for role in ("reason", "skipped") if (said := getattr(step, role))}
    part.critical = part.critical or critical
    return part
