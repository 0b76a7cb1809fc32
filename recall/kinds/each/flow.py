"""The kind `flow`: steps in their order. Ordered lists, tables of steps, dotted challenge and response."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import ClassVar

from recall.base.finding import Place, finding
from recall.base.text import one_line, shown
from recall.kinds.each.memory_item import memory_item
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.kinds.steps.procedure import is_contents, is_dotted, is_procedure, tells
from recall.kinds.steps.steps import Step, Steps, listed_steps, step_words, tabled_steps, title_of
from recall.kinds.tables.cells import leaks
from recall.kinds.tables.headers import names_of
from recall.notes.model import List, Paragraph, Table, Text

_NUMBERED = frozenset(("#", "no", "nr", "order", "seq", "sequence", "check", "call"))
_PLAIN_ACTION = frozenset(
    ("action", "response", "procedure", "instruction", "instructions", "actions", "reply")
)
_TASKS = re.compile(
    r"owner|status|due|deadline|date|assignee|assigned to|priority|progress|effort|estimate|milestone|responsible|"
    r"hours|cost|price|points|score|team|version|parameters?|returns?|endpoint|method|url",
    re.IGNORECASE,
)
"""Columns of a table that plans work or lists an interface."""


class Flow(Kind):
    """A procedure: its steps in order, with a reason and what follows when a step is skipped."""

    name = "flow"
    aspects = ("next", "order", "reason", "skipped")
    by_heading = True
    leaves_tables = True
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "step": ("step", "#", "no", "nr", "step no", "step number", "seq", "sequence", "order"),
        "challenge": ("challenge", "call", "check"),
        "item": ("item", "system", "condition", "system/condition", "system or condition", "control", "switch",
                 "component", "area", "location"),
        "action": ("action", "task", "do", "activity", "procedure", "instruction", "position", "setting",
                   "what to do", "required action", "crew action"),
        "response": ("response", "reply", "answer"),
        "expected": ("expected", "expected result", "result", "indication", "observe", "verify", "confirm",
                     "expected indication", "expected outcome", "check for"),
        "reason": ("reason", "why", "rationale", "because"),
        "skipped": ("if skipped", "if omitted", "if left out", "if missed", "when skipped"),
    }  # fmt: skip
    required = (("step", "challenge"), ("action", "response"))

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Steps or challenges with actions, in no plan of work; a mere number counts beside a plain action."""
        if not super().fits(table, roles):
            return False
        names = names_of(table)
        named = {role: names[at] for at, role in roles.items()}
        if any(_TASKS.fullmatch(name) for at, name in enumerate(names) if at not in roles):
            return False
        weak = named.get("step", named.get("challenge", "")) in _NUMBERED
        return not weak or named.get("action", named.get("response")) in _PLAIN_ACTION

    def spare_columns(self, table: Table, roles: Mapping[int, str]) -> list[int]:
        """None for the reader: what a row says besides is shown with the whole flow."""
        return []

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """An ordered list of two steps or more, a list of challenges with their responses, bullets wholly in bold."""
        texts = [one_line(item.text.plain) for item in block.items]
        if len(texts) < 2 or is_contents(block):
            return None
        if block.ordered:
            if not is_procedure(texts, scope.heading, scope.topic[:-1], block.lead) and not scope.memory:
                return None
        elif not _bullets_are_steps(block):
            return None
        found = listed_steps(block)
        return _points(found, title_of(block.lead, scope), block.place, scope)

    def lacks_list(self, block: List, scope: Scope) -> tuple[str, str] | None:
        """Why a list in numbers, or one with challenges in it, is no flow."""
        first = shown(one_line(block.items[0].text.plain))[:60]
        if block.ordered and len(block.items) > 1 and not is_contents(block):
            return (
                f"numbered list that begins `{first}` makes no card: the nearest kind is flow, but its items don't "
                "read as steps",
                "write steps as orders or positions (`Set …`, `Gear UP`), or put a line such as "
                "`In this order:` above them",
            )
        if any(is_dotted(item.text.plain) for item in block.items):
            return (
                f"list that begins `{first}` makes no card: the nearest kind is flow, but not every item is a "
                "challenge with its response",
                "write each item as `Throttle ... IDLE`, or number the items",
            )
        return None

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """Lines of challenge and response."""
        lines = [line for line in block.text.plain.split("\n") if line.strip()]
        if len(lines) < 2 or not all(is_dotted(line) and tells(line) for line in lines):
            return None
        bold = block.text.bold == "all"
        steps = [Step(step_words(line), block.text.place, bold) for line in lines]
        return _points(Steps(steps), title_of(None, scope), block.text.place, scope)

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """A table of steps is one flow."""
        spare = [at for at in range(len(table.headers)) if at not in roles]
        found = tabled_steps(table, roles, spare)
        if len(found.steps) > 1 or not found.whole:
            return _points(found, title_of(table.lead, scope), table.place, scope)
        heads = " | ".join(shown(one_line(header.plain)) for header in table.headers)[:80]
        message = f"table `{heads}` makes no card: the nearest kind is flow, which takes two steps or more"
        return [], [finding("unrecognised-table", table.place, message, "add the other steps")]

    def drafts(self, point: Point) -> list[Draft]:
        """What comes next, step by step; the whole in order; reasons; what a skipped step brings."""
        title = f"{point.subject} ({point.condition})" if point.condition else point.subject
        steps = point.parts
        texts = tuple(step.subject for step in steps)
        drafts = []
        for at, step in enumerate(steps):
            before, part = "what is the first step?", "first"
            if at:
                again = texts.count(texts[at - 1]) > 1
                before = f"after “{texts[at - 1]}”{f' (step {at})' if again else ''}, what comes next?"
                part = f"after {texts[at - 1]}{f' ({at})' if again else ''}"
            drafts.append(_draft("next", f"{title}: {before}", step.subject, part, step))
        for aspect, asked in (("reason", "why “{}”?"), ("skipped", "what follows if “{}” is skipped?")):
            for at, step in enumerate(steps, 1):
                if answer := step.fields.get(aspect):
                    again = texts.count(step.subject) > 1
                    part = f"{step.subject} (step {at})" if again else step.subject
                    drafts.append(_draft(aspect, f"{title}: {asked.format(part)}", answer[0], part, step))
        drafts = [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]
        whole = Draft(
            "order", f"{title}: recite the {len(texts)} steps in order.", texts, "prose", same_as=texts
        )
        after = sum(draft.aspect == "next" for draft in drafts)
        return [*drafts[:after], whole, *drafts[after:]]


def _bullets_are_steps(block: List) -> bool:
    """Bullets that are all challenges with responses, or all wholly in bold and orders."""
    if all(is_dotted(item.text.plain) for item in block.items):
        return sum(tells(item.text.plain) for item in block.items) * 2 > len(block.items)
    return all(item.text.bold == "all" and tells(item.text.plain) for item in block.items)


def _draft(aspect: str, prompt: str, answer: str, part: str, step: Point) -> Draft:
    return Draft(aspect, prompt, (answer,), "prose", part=part, line=step.place.line, critical=step.critical)


def _points(found: Steps, title: str, place: Place, scope: Scope) -> Read:
    """The flow of all steps in the order of the note, and the memory item that the wholly bold ones are; only the
    memory item where all are bold. Nothing where a step is missing, or nothing names the whole."""
    if not title and found.whole:
        found.lacks("unrecognised-list", place, "steps make no card: nothing says what they are for",
                    "put a heading above them, or a bold line")  # fmt: skip
    if not found.whole:
        return [], found.findings
    scope = replace(scope, source=found.source or scope.source, applies=found.applies or scope.applies)
    bold = [step for step in found.steps if step.bold]
    points = [memory_item(bold, title, scope)] if bold else []
    if len(bold) < len(found.steps):
        flow = base_point("flow", Text(title, place), scope)
        flow.parts = tuple(_part(step, scope) for step in found.steps)
        flow.extra = _extra(found.steps)
        points.append(flow)
    points[-1].id = found.id or scope.heading_id
    return points, found.findings


def _extra(steps: Sequence[Step]) -> tuple[tuple[str, str], ...]:
    """What unknown columns say of the steps, a line a column."""
    said: dict[str, list[str]] = {}
    for step in steps:
        for header, words in step.extra:
            said.setdefault(header, []).append(f"{step.text}: {words}")
    return tuple((header, "; ".join(words)) for header, words in said.items())


def _part(step: Step, scope: Scope) -> Point:
    part = base_point("flow", Text(step.text, step.place), scope)
    for aspect, words in (("reason", step.reason), ("skipped", step.skipped)):
        if words:
            part.fields[aspect] = (words,)
    part.critical = part.critical or step.bold
    return part
