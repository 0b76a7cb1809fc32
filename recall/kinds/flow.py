"""The kind `flow`: steps in their order. Ordered lists, tables of steps, dotted challenge and response."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import ClassVar

from recall.base.finding import Place, finding
from recall.base.text import one_line, shown
from recall.kinds.cells import leaks
from recall.kinds.memory_item import memory_item
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.kinds.steps import Step, is_dotted, listed_steps, tabled_steps, title_of
from recall.notes.model import List, Table, Text


class Flow(Kind):
    """A procedure: its steps in order, with a reason and what follows when a step is skipped."""

    name = "flow"
    aspects = ("next", "order", "reason", "skipped")
    by_heading = True
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "step": ("step", "#", "no", "nr", "step no", "step number", "seq", "sequence", "order"),
        "challenge": ("challenge", "call", "check"),
        "item": ("item", "system", "condition", "system/condition", "control", "switch", "component", "area"),
        "action": ("action", "task", "do", "activity", "procedure", "instruction", "position", "setting",
                   "what to do"),
        "response": ("response", "reply", "answer"),
        "expected": ("expected", "expected result", "result", "indication", "observe", "verify", "confirm"),
        "reason": ("reason", "why", "rationale", "because"),
        "skipped": ("if skipped", "if omitted", "if left out", "if missed", "when skipped"),
    }  # fmt: skip
    required = (("step", "challenge"), ("action", "response"))

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """An ordered list of two steps or more, or a list of challenges with their responses."""
        dotted = len(block.items) > 1 and all(is_dotted(item.text.plain) for item in block.items)
        if not block.ordered and not dotted:
            return None
        links = all(item.text.runs and all(run.link for run in item.text.runs if run.text.strip())
                    for item in block.items)  # fmt: skip
        steps = [] if links else listed_steps(block)
        return _points(steps, title_of(block.lead, scope), block.place, scope) if len(steps) > 1 else None

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """A table of steps is one flow."""
        steps = tabled_steps(table, roles)
        if len(steps) > 1:
            return _points(steps, title_of(table.lead, scope), table.place, scope)
        heads = " | ".join(shown(one_line(header.plain)) for header in table.headers)[:80]
        message = f"table of steps `{heads}` has {'one step' if steps else 'no steps'}"
        help = "fill in the steps, or take the table out"
        return [], [finding("unrecognised-table" if steps else "empty-template", table.place, message, help)]

    def drafts(self, point: Point) -> list[Draft]:
        """What comes next, step by step; the whole in order; reasons; what a skipped step brings."""
        title = f"{point.subject} ({point.condition})" if point.condition else point.subject
        steps = point.parts
        texts = tuple(step.subject for step in steps)
        drafts = []
        for at, step in enumerate(steps):
            before = f"after “{texts[at - 1]}”, what comes next?" if at else "what is the first step?"
            part = f"after {texts[at - 1]}" if at else "first"
            if texts.count(texts[at - 1]) > 1 and at:
                part = f"{part} ({at})"
            drafts.append(_draft("next", f"{title}: {before}", step.subject, part, step))
        drafts.append(
            Draft("order", f"{title}: recite the {len(texts)} steps in order.", texts, "prose", same_as=texts)
        )
        for aspect, asked in (("reason", "why “{}”?"), ("skipped", "what follows if “{}” is skipped?")):
            for step in steps:
                if answer := step.fields.get(aspect):
                    drafts.append(
                        _draft(
                            aspect, f"{title}: {asked.format(step.subject)}", answer[0], step.subject, step
                        )
                    )
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]


def _draft(aspect: str, prompt: str, answer: str, part: str, step: Point) -> Draft:
    return Draft(aspect, prompt, (answer,), "prose", part=part, line=step.place.line, critical=step.critical)


def _points(steps: Sequence[Step], title: str, place: Place, scope: Scope) -> Read:
    """The flow of all steps, the wholly bold ones first, and the memory item that the bold ones are; only the memory
    item where all are bold."""
    bold = [step for step in steps if step.bold]
    rest = [step for step in steps if not step.bold]
    points = [memory_item(bold, title, scope)] if bold else []
    if rest:
        flow = base_point("flow", Text(title, place), scope)
        points.append(replace(flow, parts=tuple(_part(step, scope) for step in (*bold, *rest))))
    points[-1].id = scope.heading_id
    return points, []


def _part(step: Step, scope: Scope) -> Point:
    part = base_point("flow", Text(step.text, step.place), scope)
    for aspect, words in (("reason", step.reason), ("skipped", step.skipped)):
        if words:
            part.fields[aspect] = (words,)
    part.critical = part.critical or step.bold
    return part
