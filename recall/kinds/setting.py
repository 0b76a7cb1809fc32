"""The kind `setting`: in which position a control stands. Tables."""

from collections.abc import Mapping
from typing import ClassVar

from recall.base.text import one_line
from recall.kinds.cells import Answers, leaks, parts_of
from recall.kinds.joining import same_words
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.notes.model import Table

_MOST_TYPED = 4


class Setting(Kind):
    """A control with its position, under a condition."""

    name = "setting"
    aspects = ("position",)
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = {
        "control": (
            "control", "switch", "knob", "selector", "lever", "handle", "button", "pushbutton", "valve control",
            "control or switch", "switch or control", "control/switch", "panel item", "breaker", "circuit breaker",
            "guarded switch", "rotary", "thumbwheel", "key",
        ),
        "position": (
            "position", "setting", "set to", "set", "selected position", "selection", "required position",
            "switch position", "normal position", "state", "selected to", "to",
        ),
        "when": ("when", "phase", "phase of flight", "condition", "at", "during", "flight phase", "configuration"),
        "where": ("where", "location", "panel", "located", "on panel", "found on"),
    }  # fmt: skip
    required = (("control",), ("position",))

    def spare_columns(self, table: Table, roles: Mapping[int, str]) -> list[int]:
        """The columns that no question asks about, the panel among them."""
        return [column for column in range(len(table.headers)) if roles.get(column) in (None, "where")]

    def read_table(self, table: Table, roles: Mapping[int, str], scope: Scope) -> Read:
        """Points row by row; a control may stand in several rows, each with a condition of its own."""
        points: list[Point] = []
        answers = Answers(table, roles, subject="control", what="position", ticks=False)
        for row, cells in answers.rows():
            if "control" not in cells:
                answers.nameless(row.place, "control")
            elif "position" not in cells:
                answers.gap(row.place, cells["control"].plain)
            else:
                answers.answered += 1
                point = base_point("setting", cells["control"], scope, cells)
                point.fields["position"] = parts_of(cells["position"].plain)
                if "when" in cells:
                    point.condition = one_line(cells["when"].plain)
                points.append(point)
        return points, answers.said()

    def drafts(self, point: Point) -> list[Draft]:
        """Which position."""
        positions = point.fields["position"]
        under = f", {_lower(point.condition)}" if point.condition else ""
        asked = f"{point.subject}{under}: which position{'s' if len(positions) > 1 else ''}?"
        if len(positions) > 1:
            draft = Draft("position", asked, positions, "set")
        else:
            typed = len(positions[0].split()) <= _MOST_TYPED
            draft = Draft("position", asked, positions, "words" if typed else "prose")
        return [] if leaks(asked, positions) and not same_words(point.condition, positions[0]) else [draft]


def _lower(text: str) -> str:
    return text[0].lower() + text[1:] if text[1:2].islower() else text
