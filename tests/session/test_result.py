"""What came of a mock oral, by area and by the rules of the examination."""

from collections.abc import Sequence
from typing import Any

import pytest

from recall.answers import Verdict, WordsAnswer
from recall.base.finding import Place
from recall.kinds.model import Draft, Point, make_card
from recall.session.model import Kept
from recall.session.oral import Drawn, result
from recall.session.order import Waiting


def _result(
    marks: Sequence[str | None], *, each_area: bool = False, critical: int = -1, pass_mark: float = 0.5
) -> dict[str, Any]:
    """Four questions in two areas, three and one; `critical` is the number of the critical one."""
    kept = []
    for number, mark in enumerate(marks):
        point = Point("setting", ("A",), f"Part {number}", Place("a.md", 3), critical=number == critical)
        card = make_card(point, Draft("value", f"Part {number}?", WordsAnswer(("on",))), "demo")
        kept.append(Kept(Waiting(card.id, card.point, ()), card, "x", Verdict(None), mark))  # type: ignore[arg-type]
    drawn = Drawn(
        cards=("0", "1", "2", "3"),
        area_of=(0, 0, 0, 1),
        predicted=(0.9, 0.6, 0.3, 0.2),
        topics=(("A",), ("B",), ("C",)),
        pass_mark=pass_mark,
        each_area=each_area,
    )
    assert drawn == Drawn.of(drawn.plain())
    return result(kept, drawn)


def test_the_result_stands_by_area() -> None:
    """Right, asked, needed and predicted of each; what was missed in the order asked; an area without a question
    isn't one."""
    found = _result(["sure", "missed", "hesitant", "missed"])

    assert [(["A"], 3, 3, 2, 2, True), (["B"], 1, 1, 0, 1, False)] == [
        tuple(area[name] for name in ("topic", "questions", "asked", "right", "needed", "passed"))
        for area in found["areas"]
    ]
    assert [0.6, 0.2, 0.5] == pytest.approx(
        [*(area["predicted"] for area in found["areas"]), found["predicted"]]
    )
    assert ["Part 1?", "Part 3?"] == [said["prompt"] for said in found["missed"]]
    assert (4, 2, 2, True) == (found["asked"], found["right"], found["needed"], found["passed"])


@pytest.mark.parametrize(
    ("marks", "rules", "failed_by"),
    [
        (["sure", "sure", "sure", "missed"], {"each_area": True}, ["1 area below the mark"]),
        (["missed", "sure", "sure", "sure"], {"critical": 0}, ["1 critical point missed"]),
        (["missed", "sure", "sure", "sure"], {}, []),
        (["sure", "sure", "sure"], {}, ["1 of 4 questions have no marked answer"]),
        (["sure", "sure", "sure", None], {}, ["1 of 4 questions have no marked answer"]),
        (["sure", "missed", "missed", "missed"], {}, ["1 right, 2 needed"]),
    ],
    ids=["14 CFR 61.43(c)", "critical", "passed", "ended early", "prose unmarked", "the mark"],
)
def test_why_it_is_no_pass(marks: list[str | None], rules: dict[str, Any], failed_by: list[str]) -> None:
    """Failing an area of operation fails the whole where the blueprint says so (14 CFR 61.43(c)), and so does a
    critical point, whatever the number of right answers; what has no marked answer is neither right nor missed."""
    found = _result(marks, **rules)

    assert (failed_by, not failed_by) == (found["failed_by"], found["passed"])
    assert marks.count(None) == found["unmarked"]
