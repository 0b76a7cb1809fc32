"""What a mock oral looks like: its result on one page, and the orals of the past as a line over time."""

from collections.abc import Mapping, Sequence
from typing import Any

from recall.base.text import CAUTION, percent
from recall.cli.bars import bars
from recall.cli.output import columns
from recall.cli.screen import QUIET, Screen
from recall.session.oral import told, told_missed
from recall.store.answers import Sitting

SITTINGS_SHOWN = 8


def sittings_line(past: Sequence[Sitting]) -> str:
    """Mock orals so far, oldest first: share of right answers each, with a bar."""
    shown = past[-SITTINGS_SHOWN:]
    shares = [one.right / one.asked for one in shown]
    told = ", ".join(
        f"{one.day.isoformat()} {percent(share)} of {one.asked}"
        for one, share in zip(shown, shares, strict=True)
    )
    head = "Mock orals so far" if len(past) <= SITTINGS_SHOWN else f"The last {len(shown)} mock orals"
    return f"{head}: {bars(shares)}  {told}"


def show_result(screen: Screen, end: Mapping[str, Any], past: Sequence[Sitting]) -> None:
    """The result on one page."""
    screen.line()
    screen.tell(told(end))
    if not end["asked"]:
        return
    screen.line()
    heads = ("area", "right", "needed", "mark", "predicted", "achieved")
    for text in columns([_row(area) for area in end["areas"]], heads, right=(1, 2, 4, 5)):
        screen.line(text)
    screen.line()
    screen.tell(told_missed(end))
    screen.line()
    if past:
        screen.line(sittings_line(past))
    screen.line(CAUTION, QUIET)


def _row(area: Mapping[str, Any]) -> tuple[str, ...]:
    name, needed, predicted = " / ".join(area["topic"]), str(area["needed"]), percent(area["predicted"])
    if not area["asked"]:
        return name, "-", needed, "not asked", predicted, "-"
    mark = "reached" if area["passed"] else "below"
    right = f"{area['right']}/{area['asked']}"
    return name, right, needed, mark, predicted, percent(area["right"] / area["asked"])
