"""The kind `setting`: in which position a control stands. Tables."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.answers import MembersAnswer, in_words
from recall.base import regex as re
from recall.base.text import key_form, word_set
from recall.kinds.aspect import Aspect, typed
from recall.kinds.english import lower, upper
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Point
from recall.kinds.prose.lexicon import by_role
from recall.kinds.tables.cells import parts_of, phrase
from recall.kinds.tables.headers import names_of, spellings
from recall.notes.model import Table

_MOST_TYPED = 4
_ON_SCREEN = frozenset(("state", "set", "selection", "setting"))
"""Names of a position that beside `Button` may be of any program's window."""
_TOLD = re.any_case(r"(?:setting|code|frequency|channel|squawk)s?$")
"""What a control is named by that has no positions, but what it is set to."""
_LIT = re.any_case(r"(?:light|lamp|beacon|strobe)s?$")
"""What a control is named by that stands in no position, but is set."""
_TURNED = re.any_case(r"lever|handle|flap|slat|switch|selector|knob|wheel|valve|cock|key|crank|toggle")
"""What a control is called that has positions, though numbers be written beside them."""


_TELLS_WHAT_IT_DOES = {
    *word_set("function effect result meaning means operation use purpose description"),
    "what it does",
}
"""Columns beside which each position of a control has a row: what it does there, not where it stands."""


class Setting(Kind):
    """A control with its position, under a condition."""

    name = "setting"
    rank = 70
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("{it}: which position?", "{it}: which position is right?", "{it}: what is the right position?"),
        ("{it}: which setting?", "{it}: how is it set?"),
        ("{it}: what is selected?", "{it}: what do you select?", "{it}: what is the right selection?"),
    )
    aspects = (
        Aspect(
            "position", "position", "{control}: {which}?", "{control}: {which of several}?",
            form=lambda texts: MembersAnswer(texts) if len(texts) > 1 else in_words(texts, _MOST_TYPED),
        ),
        Aspect("effect", "does", "{control}: what does it do?", form=typed(_MOST_TYPED)),
    )  # fmt: skip
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role("""
        control: control, switch, knob, selector, lever, handle, button, pushbutton, push-button, valve, valve
            control, control or switch, switch or control, control/switch, switch/control, panel item,
            breaker, circuit breaker, guarded switch, rotary, rotary knob, thumbwheel, toggle, cock
        position: position, setting, set to, set, selected position, selection, required position, switch
            position, normal position, state, selected to, required setting, correct position, control
            position, lever position, value
        does: what it does, it does, does
        when: when, phase, phase of flight, condition, at, during, flight phase, configuration
        where: where, location, panel, located, on panel, found on
    """)
    required = (("control",), ("position", "does"))
    title = "Settings"
    sheet: ClassVar[Mapping[str, str]] = {"": "Control", "position": "Position", "does": "What it does"}
    cells: ClassVar = {"position": parts_of, "does": phrase}
    conditions = ("when", "phase")
    ticks = True
    led = True
    shown = ("where",)

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """`Setting | Value` names the control as a setting."""
        at, names = {role: column for column, role in roles.items()}, names_of(table)
        if "control" not in at and "position" in at and spellings(names[at["position"]])[-1] == "setting":
            values = [column for column, name in enumerate(names) if name in ("value", "set to", "position")]
            roles = {**roles, at["position"]: "control", **({values[0]: "position"} if values else {})}
        if "position" in at and "control" in at and (tells := self._tells(table, roles)) is not None:
            roles = {**roles, at["position"]: "phase", tells: "does"}
        return super().match(table, roles)

    def _tells(self, table: Table, roles: Mapping[int, str]) -> int | None:
        """The column that says what a control does, where it has a row for each of its positions."""
        named = [
            at
            for at, name in enumerate(names_of(table))
            if not _TELLS_WHAT_IT_DOES.isdisjoint(spellings(name))
        ]
        tells = [at for at in named if roles.get(at) in (None, "does")]
        at = next(column for column, role in roles.items() if role == "control")
        controls = [key_form(row.cells[at].plain) for row in table.rows]
        every = all(controls) and len(set(controls)) == len(controls)
        return tells[0] if tells and not every else None

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """Controls and positions, by names that no program's window has."""
        names = names_of(table)
        column = {role: at for at, role in roles.items()}
        position = names[column.get("position", column.get("phase", 0))]
        if names[column["control"]] in ("button", "buttons") and position in _ON_SCREEN:
            return False
        return position != "value" or _plain(table, column["control"])

    def words(self, point: Point) -> dict[str, str]:
        """The control under its condition."""
        under = f", {lower(point.condition)}" if point.condition else ""
        if "does" in point.fields and point.condition:
            under = f" at {point.condition}"
        told = _TOLD.search(point.subject) is not None
        turned = _TURNED.search(point.subject) or not point.fields.get("position", ("",))[0][:1].isdigit()
        noun = "setting" if _LIT.search(point.subject) or not turned else "position"
        which = "what is selected" if told else f"which {noun}"
        several = which if told else which + "s"
        return {
            **super().words(point),
            "which": which,
            "which of several": several,
            "control": upper(point.subject) + under,
        }


def _plain(table: Table, column: int) -> bool:
    """Whether names are words as they stand on a panel (`Working channel`), no keys of a program's file."""
    cells = [row.cells[column] for row in table.rows if row.cells[column]]
    coded = any(run.code for cell in cells for run in cell.runs)
    return not coded and all(cell.plain[:1].isupper() and not {*cell.plain} & {*"_=./"} for cell in cells)
