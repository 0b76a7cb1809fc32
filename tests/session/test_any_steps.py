"""A sitting under any steps: whatever is pressed, in whatever order, and wherever the program dies."""

import json
import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from sitting_kit import Sat, begin, opened

from recall.base.marks import MARKS
from recall.session.course import Course
from recall.session.desk import Desk, order_of
from recall.session.oral import Drawn
from recall.session.sitting import Sitting
from recall.session.view import ACTIONS

NOTE = """# Fuel

Source: Handbook 28-1

| Parameter | Maximum | Unit |
|---|---|---|
| **Feeder quantity** | 700 | lb |
| Fuel temperature | 50 | °C |

- **BP** – boost pump

## Why does the feeder come first?

It is the only tank that feeds the engine.
"""
TEXTS = ("right", "900", "", "no idea")
STEPS = st.lists(
    st.tuples(st.sampled_from((*ACTIONS, "answer", "answer", "die")), st.sampled_from(TEXTS)), max_size=40
)


def _revived(sat: Sat, how: str) -> Sat:
    """The sitting as another run of the program finds it."""
    desk = Desk(sat.store)
    options: dict[str, object] = {}
    order = order_of(sat.store)
    if how != "review":
        left = desk.left("oral", {})
        assert left is not None
        drawn = Drawn.of(left["drawn"])
        order = drawn.order()
        options = {"mode": "oral", "drawn": drawn, "examiner": how == "examiner"}
    return Sat(sat.store, sat.clock, Sitting.begin(desk, Course(order, sat.clock), **options))


def _agree(sat: Sat) -> None:
    """The store holds what the sitting holds."""
    kept = [(one.event, one.mark, one.given) for one in sat.sitting.kept if one.event]
    rows = sat.store.rows(
        "SELECT id, mark, json_extract(body, '$.given') FROM event WHERE type = 'reviewed'"
        " AND id NOT IN (SELECT review FROM undone)"
    )

    assert sorted(kept) == sorted((id, MARKS[mark - 1], given) for id, mark, given in rows)


@settings(max_examples=40, deadline=None)
@given(how=st.sampled_from(("review", "oral", "examiner")), steps=STEPS)
def test_whatever_is_pressed_the_store_holds_what_the_sitting_holds(
    how: str, steps: list[tuple[str, str]]
) -> None:
    """After every step: the same answers, no token twice, a view that is plain data. Where the program dies, the next
    run puts the same question under the same token. Undone to its beginning, nothing is kept."""
    with tempfile.TemporaryDirectory() as folder, opened(Path(folder), NOTE) as (store, clock):
        sat = begin(store, clock, how, **({"questions": 6} if how != "review" else {}))
        tokens = {sat.sitting.token}
        for action, text in steps:
            clock.advance(7)
            view = sat.sitting.view()
            if view.phase == "over":
                break
            if action == "die":
                sat = _revived(sat, how)
                after = sat.sitting.view()
                if view.phase != "told":
                    assert (view.token, view.question, view.answer) == (
                        after.token,
                        after.question,
                        after.answer,
                    )
            elif action in view.may:
                after = sat.act(action, sat.answer() if text == "right" else text, 1.5)
                assert after.token not in tokens
            tokens.add(sat.sitting.token)
            json.dumps(sat.sitting.view().plain())
            _agree(sat)
        while "undo" in sat.sitting.view().may:
            sat.act("undo")
            _agree(sat)
        if how != "oral" and sat.sitting.phase != "over":
            assert [] == sat.kept()
