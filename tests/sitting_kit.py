"""Sittings over a small store, driven by steps, by a script at a terminal, or from a pipe.

A golden sitting (`tests/sittings/NAME.md`) is a note, then `~~~settings` with a line `name value` each where
something is set, then `~~~sitting review pipe` (or `oral`, `examiner`; `terminal`) with all that stood on the screen.
In it a line that begins with `> ` was typed, and one that begins with `key ` was pressed. `python
tests/sitting_kit.py CASE` writes a case anew, to be read before it is kept."""

import io
import random
import re
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path

from rich.console import Console

from recall.base.clock import SetClock
from recall.cli.oral_screen import show_result
from recall.cli.screen import Screen
from recall.cli.sitting import AtTerminal, from_pipe
from recall.deck.read import read_deck
from recall.session.course import Course
from recall.session.desk import Desk, Selection, order_of
from recall.session.draw import draw_oral
from recall.session.end import ahead, told
from recall.session.sitting import Sitting
from recall.session.view import View
from recall.store import Review, Store

SITTINGS = Path(__file__).parent / "sittings"
MORNING = datetime(2026, 11, 24, 8, tzinfo=timezone.utc)
_FENCE = re.compile(r"^~~~(settings|sitting)([^\n]*)\n(.*?)^~~~$", re.DOTALL | re.MULTILINE)
_REVISED = "<!-- revised after a day -->\n"
_MISSED = "<!-- missed on three days -->\n"


@dataclass
class Script:
    """A keyboard that plays a script and writes it onto the screen: what is typed as `> …`, a key as `key …`."""

    steps: list[str]
    out: io.StringIO
    clock: SetClock

    def line(self, prompt: str, touched: Callable[[], None], begun: str = "") -> str:
        """The next line of the script; its end is an end of input."""
        if not self.steps or not self.steps[0].startswith(">"):
            raise EOFError
        self.out.write(f"{self.steps[0]}\n")
        self.clock.advance(5)
        touched()
        return self.steps.pop(0)[2:]

    def key(self, wanted: Sequence[str]) -> str:
        """The next key of the script; empty for one that isn't wanted, as at a terminal."""
        if not self.steps or not self.steps[0].startswith("key "):
            raise EOFError
        self.out.write(f"{self.steps[0]}\n")
        key = self.steps.pop(0)[4:].casefold()
        return key if key in wanted else ""

    def settle(self, *, on_a_line: bool = False) -> str:
        """A script has no keys too many."""
        return ""


@dataclass
class Sat:
    """A sitting with its store and clock."""

    store: Store
    clock: SetClock
    sitting: Sitting

    def act(self, action: str, text: str = "", seconds: float | None = None) -> View:
        """One step with the token in force."""
        return self.sitting.act(self.sitting.token, action, text, seconds)

    def answer(self) -> str:
        """The right answer to what is put."""
        assert self.sitting.question is not None
        return self.sitting.question.answer.text

    def kept(self) -> list[tuple[int, str, str]]:
        """Mark, who marked and what was given, of each answer that is kept."""
        rows = self.store.rows(
            "SELECT mark, json_extract(body, '$.marked_by'), json_extract(body, '$.given') FROM event"
            " WHERE type = 'reviewed' AND id NOT IN (SELECT review FROM undone) ORDER BY id"
        )
        return [(int(mark), str(by), str(given)) for mark, by, given in rows]


def begin(
    store: Store, clock: SetClock, mode: str = "review", selection: Selection | None = None, **options: object
) -> Sat:
    """A review, an oral, or one with an examiner, over all that the store holds."""
    selection = selection or Selection()
    if mode != "review":
        drawn = draw_oral(store, None, random.Random(2), options.pop("questions", None))  # type: ignore[arg-type]
        options |= {"mode": "oral", "drawn": drawn, "examiner": mode == "examiner"}
        order = drawn.order()
    else:
        order = order_of(store, selection)
    course = Course(
        order, clock, **{name: options.pop(name) for name in ("minutes", "cards") if name in options}
    )  # type: ignore[arg-type]
    sitting = Sitting.begin(Desk(store), course, ahead=lambda: ahead(store, selection), **options)
    return Sat(store, clock, sitting)


@contextmanager
def opened(folder: Path, note: str) -> Iterator[tuple[Store, SetClock]]:
    """A store that has loaded a note, on a morning; a part behind `_REVISED` is loaded a day later; with
    `_MISSED` each card was missed on three days."""
    clock = SetClock(MORNING)
    with Store.open(folder / "store.db", clock, rng=random.Random(1)) as store:
        for at, text in enumerate(note.split(_REVISED)):
            (folder / "note.md").write_text(text, encoding="utf-8")
            store.load(read_deck(folder / "note.md")[0])
            if at == 0 and _REVISED in note:
                for known in store.cards():
                    store.record(Review(known.id, known.answer_hash, 3, right=True))
                clock.at += timedelta(days=1)
        for _ in range(3 if _MISSED in note else 0):
            for known in store.cards():
                store.record(Review(known.id, known.answer_hash, 1, right=False, given="frequency"))
            clock.at += timedelta(days=1)
        yield store, clock


def played(folder: Path, note: str, settings: str, how: str, steps: Sequence[str]) -> str:
    """The screen of a sitting that these steps make."""
    mode, door = how.split()
    out = io.StringIO()
    screen = Screen(out, 80, Console(file=out, width=80, highlight=False, no_color=True))
    with opened(folder, note) as (store, clock):
        for line in settings.splitlines():
            store.set(*line.split(" ", 1))
        options = {} if mode == "review" else {"questions": len(store.cards())}
        sat = begin(store, clock, mode, **options)
        if door == "pipe":
            sat.sitting.pause = "none"
            typed = iter(steps)

            def lines() -> Iterator[str]:
                for step in typed:
                    out.write(f"{step}\n")
                    yield f"{step[2:]}\n"

            view = from_pipe(sat.sitting, screen, lines())
        else:
            view = AtTerminal(sat.sitting, screen, Script([*steps], out, clock), clock).run()
        if view.end is not None:
            if mode == "review":
                screen.line()
                screen.tell(told(view.end, []))
            else:
                show_result(screen, view.end, [])
    return "\n".join(line.rstrip() for line in out.getvalue().splitlines()) + "\n"


@dataclass
class Golden:
    """A case: its note, its settings, and its screens by what they are of."""

    note: str
    settings: str = ""
    screens: dict[str, str] = field(default_factory=dict)


def read_golden(path: Path) -> Golden:
    """Part a case."""
    text = path.read_text(encoding="utf-8")
    first = _FENCE.search(text)
    case = Golden(text[: first.start()] if first else text)
    for what, how, body in _FENCE.findall(text):
        if what == "settings":
            case.settings = body
        else:
            case.screens[how.strip()] = body
    return case


def steps_of(screen: str) -> list[str]:
    """What was typed and pressed."""
    return [line for line in screen.splitlines() if line.startswith((">", "key "))]


def main() -> None:
    """Write the named cases anew."""
    for name in map(Path, sys.argv[1:]):
        case = read_golden(name)
        settings = f"~~~settings\n{case.settings}~~~\n\n" if case.settings else ""
        screens = []
        for how, screen in case.screens.items():
            with tempfile.TemporaryDirectory() as folder:
                now = played(Path(folder), case.note, case.settings, how, steps_of(screen))
            screens.append(f"~~~sitting {how}\n{now}~~~\n")
        name.write_text(case.note + settings + "\n".join(screens), encoding="utf-8")


if __name__ == "__main__":
    main()
