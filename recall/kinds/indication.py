"""The kind `indication`: what a caption, an alarm or a symptom means, and what is done about it. Tables."""

from collections.abc import Mapping
from typing import ClassVar

from recall.kinds.cells import Answers, leaks, parts_of, without_stop
from recall.kinds.headers import header_name
from recall.kinds.joining import contradict, joined, same_words, union
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.notes.model import Table


class Indication(Kind):
    """An indication with its meaning and the action."""

    name = "indication"
    aspects = ("meaning", "action")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "indication": (
            "indication", "caption", "light", "annunciator", "annunciation", "symptom", "alarm", "alert", "message",
            "cas message", "eicas message", "warning", "caution", "advisory", "warning light", "caution light",
            "status light", "indicator", "lamp", "tone", "aural", "aural warning", "sound", "flag", "signal",
            "error code", "code", "fault code", "led", "display", "cue", "sign",
        ),
        "means": (
            "means", "meaning", "cause", "likely cause", "possible cause", "probable cause", "root cause",
            "potential cause", "signifies", "indicates", "it means", "what it means", "reason", "significance",
            "typical cause", "common cause", "triggered by", "comes on when", "lit when", "lights when",
            "on when", "illuminates when", "trigger",
        ),
        "action": (
            "action", "fix", "crew action", "corrective action", "pilot action", "remedy", "solution", "response",
            "what to do", "do", "immediate action", "required action", "procedure", "mitigation", "resolution",
            "recommended action", "action required", "correction", "rectification", "do this",
        ),
    }  # fmt: skip
    required = (("indication",), ("means",))

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """Points row by row; the meaning is due, the action optional."""
        what = header_name(table.headers[next(at for at, role in roles.items() if role == "means")].plain)
        answers = Answers(table, roles, subject="indication", what=what)
        points: list[Point] = []
        for row, cells in answers.rows():
            if "indication" not in cells:
                answers.nameless(row.place, "indication")
                continue
            if "means" not in cells:
                answers.gap(row.place, cells["indication"].plain)
            point = base_point("indication", cells["indication"], scope, cells)
            if "means" in cells:
                point.fields["means"] = parts_of(cells["means"].plain)
            if "action" in cells:
                text = "; ".join(
                    line.strip(" ;") for line in cells["action"].plain.split("\n") if line.strip()
                )
                point.fields["action"] = (without_stop(text),)
            point.wording["means"] = what
            if point.fields:
                answers.answered += 1
                points.append(point)
        return points, answers.said()

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several causes of one symptom, each with its fix, are a set; two meanings of one caption are not."""
        one, two = first.fields, second.fields
        if "cause" not in first.wording["means"] or "means" not in one or "means" not in two:
            return None
        if any(contradict(a, b) for a in one["means"] for b in two["means"]):
            return None
        actions = [fields["action"][0] for fields in (one, two) if "action" in fields]
        if len(actions) == 2 and not same_words(*actions):
            return None
        return joined(first, second, {**two, **one, "means": union(one["means"], two["means"])})

    def drafts(self, point: Point) -> list[Draft]:
        """What it means, what is to be done."""
        drafts = []
        if means := point.fields.get("means"):
            cause = "cause" in point.wording["means"]
            asked = (
                f"{point.subject}: what is the likely cause?" if cause else f"What does {point.subject} mean?"
            )
            if cause and len(means) > 1:
                asked = f"{point.subject}: what are the likely causes?"
            drafts.append(Draft("meaning", asked, means, "prose"))
        if action := point.fields.get("action"):
            drafts.append(Draft("action", f"{point.subject}: what is to be done?", action, "prose"))
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]
