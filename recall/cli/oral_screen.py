"""What a mock oral looks like: its result on one page, and the orals of the past as a line over time."""

from collections.abc import Iterable, Sequence

from recall.base.text import CAUTION, count, one_line, percent
from recall.cli.output import columns
from recall.cli.rise import can_show
from recall.cli.screen import CAUTIONARY, QUIET, STRONG, WARNING, Screen
from recall.session.oral import AreaResult, Result, Said
from recall.store.answers import Sitting

BARS = "▁▂▃▄▅▆▇█"
SITTINGS_SHOWN = 8


def sittings_line(past: Sequence[Sitting]) -> str:
    """Mock orals so far, oldest first: share of right answers each, with a bar where it can be shown."""
    shown = past[-SITTINGS_SHOWN:]
    shares = [one.right / one.asked for one in shown]
    bars = "".join(BARS[min(int(share * len(BARS)), len(BARS) - 1)] for share in shares)
    told = ", ".join(
        f"{one.day.isoformat()} {percent(share)} of {one.asked}"
        for one, share in zip(shown, shares, strict=True)
    )
    head = "Mock orals so far" if len(past) <= SITTINGS_SHOWN else f"The last {len(shown)} mock orals"
    return f"{head}: {bars + '  ' if can_show(bars) else ''}{told}"


def show_result(screen: Screen, result: Result, past: Sequence[Sitting]) -> None:
    """The result on one page."""
    screen.line()
    if not result.asked:
        screen.line("Nothing was asked.")
        return
    verdict = "passed" if result.passed else "not passed: " + "; ".join(result.failed_by)
    screen.line(
        f"Mock oral: {result.right} of {result.asked} right ({percent(result.right / result.asked)}), {verdict}.",
        STRONG if result.passed else CAUTIONARY,
    )
    screen.line(f"Predicted {percent(result.predicted)}.")
    if result.unmarked:
        one = "answer in prose was not marked and doesn't count"
        several = "answers in prose were not marked and don't count"
        screen.line(f"{count(result.unmarked, one, several)}.", CAUTIONARY)
    screen.line()
    heads = ("area", "right", "needed", "mark", "predicted", "achieved")
    for text in columns([_row(area) for area in result.areas], heads, right=(1, 2, 4, 5)):
        screen.line(text)
    if result.missed:
        screen.line()
        screen.line(f"Missed: {len(result.missed)}", STRONG)
        for said in result.missed:
            _missed(screen, said)
    screen.line()
    if past:
        screen.line(sittings_line(past))
    screen.line(CAUTION, QUIET)


def _row(area: AreaResult) -> tuple[str, ...]:
    name, needed, predicted = " / ".join(area.topic), str(area.needed), percent(area.predicted)
    if not area.asked:
        return name, "-", needed, "not asked", predicted, "-"
    mark = "reached" if area.passed else "below"
    return (
        name,
        f"{area.right}/{area.asked}",
        needed,
        mark,
        predicted,
        percent(area.right / area.asked),
    )


def _missed(screen: Screen, said: Said) -> None:
    card = said.card
    style = WARNING if card.critical else CAUTIONARY
    screen.line(f"{'Critical: ' if card.critical else ''}{one_line(card.prompt)}", style, 2)
    if said.given:
        screen.line(f"you said: {one_line(said.given)}", "", 4)
    screen.line(f"right: {'; '.join(one_line(part) for part in card.answer.texts)}", STRONG, 4)
    cite = f"{card.cite}; " if card.cite else ""
    screen.line(f"{cite}{card.file} line {card.line}", QUIET, 4)


def result_row(result: Result, day: str, past: Iterable[Sitting]) -> dict[str, object]:
    """The result as it is written out."""
    return {
        "date": day,
        "asked": result.asked,
        "right": result.right,
        "needed": result.needed,
        "passed": result.passed,
        "predicted": result.predicted,
        "areas": [
            {
                "topic": list(area.topic),
                "questions": area.drawn,
                "right": area.right,
                "needed": area.needed,
                "passed": area.passed,
                "predicted": area.predicted,
            }
            for area in result.areas
        ],
        "missed": [
            {
                "id": said.card.id,
                "prompt": said.card.prompt,
                "given": said.given,
                "answer": list(said.card.answer.texts),
                "critical": said.card.critical,
                "cite": said.card.cite,
                "file": said.card.file,
                "line": said.card.line,
            }
            for said in result.missed
        ],
        "past": [{"date": one.day.isoformat(), "asked": one.asked, "right": one.right} for one in past],
    }
