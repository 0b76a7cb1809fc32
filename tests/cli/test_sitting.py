"""One script of answers, driven through the engine alone, through a pipe and through a terminal's keys: the same
reviews are kept."""

import io
import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime, timezone
from pathlib import Path

import pytest
from cli_kit import NOTE
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput
from rich.console import Console

from recall.base.clock import SetClock
from recall.cli.keys import Keyboard
from recall.cli.screen import Screen
from recall.cli.sitting import AtTerminal, FromPipe
from recall.deck.read import read_deck
from recall.session.desk import Desk, order_of
from recall.session.engine import Session
from recall.store import Store

PROSE = "\n## Why does the feeder come first?\n\nIt is the only tank that feeds the engine, come what may.\n"

Script = list[tuple[str, str]]
"""What is done: `answer` and its text, `mark` and a mark's letter (for prose), `undo`, `stop`."""

SCRIPT: Script = [
    ("answer", "transformer rectifier"),
    ("answer", "TRU"),
    ("undo", ""),
    ("answer", "tru"),
    ("answer", "150 lb"),
    ("stop", ""),
]


@contextmanager
def _sitting(folder: Path, script: Script) -> Iterator[tuple[Session, Store, Screen, io.StringIO]]:
    note = folder / "fuel.md"
    note.write_text(NOTE + PROSE, encoding="utf-8")
    with Store.open(folder / "store.db", SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))) as store:
        store.load(read_deck(note)[0])
        kind = "question" if any(what == "mark" for what, _ in script) else None
        session = Session(Desk(store), order_of(store, kind=kind), store.clock, random.Random(4), timed=False)
        out = io.StringIO()
        yield session, store, Screen(Console(file=out, width=80, highlight=False)), out


def _kept(store: Store) -> list[tuple[str, int, str]]:
    rows = store.rows(
        "SELECT card, mark, json_extract(body, '$.given') FROM event WHERE type = 'reviewed'"
        " AND id NOT IN (SELECT review FROM undone) ORDER BY id"
    )
    return [(str(card), int(mark), str(given)) for card, mark, given in rows]


def _alone(folder: Path, script: Script) -> list[tuple[str, int, str]]:
    letters = {"m": "missed", "h": "hesitant", "s": "sure", "i": "instant"}
    with _sitting(folder, script) as (session, store, _, _):
        session.ask()
        for what, text in script:
            match what:
                case "answer":
                    session.answer(text)
                    session.ask()
                case "mark":
                    session.judge(letters[text])  # type: ignore[arg-type]
                    session.ask()
                case "undo":
                    session.undo()
                    session.ask()
        return _kept(store)


def _piped(folder: Path, script: Script) -> list[tuple[str, int, str]]:
    lines = []
    for what, text in script:
        lines += {"answer": [text], "mark": ["", text], "undo": [":undo"], "stop": [":stop"]}[what]
    with _sitting(folder, script) as (session, store, screen, _):
        FromPipe(session, screen, iter([f"{line}\n" for line in lines]), lambda _: []).run()
        return _kept(store)


def _keyed(folder: Path, script: Script) -> list[tuple[str, int, str]]:
    keys = []
    after_answer = False
    for what, text in script:
        lead = "\r" if after_answer and what != "undo" else ""
        if what == "answer":
            keys.append(f"{lead}{text}\r")
        elif what == "mark":
            keys.append(f"{lead}\r{text}")
        elif what == "undo":
            keys.append("u")
        else:
            keys.append("x" if after_answer else ":stop\r")
        after_answer = what == "answer"
    with create_pipe_input() as typed, _sitting(folder, script) as (session, store, screen, _):
        _type(typed, keys)
        AtTerminal(session, screen, Keyboard(typed, DummyOutput()), lambda _: []).run()
        return _kept(store)


def _type(typed: PipeInput, keys: list[str]) -> None:
    typed.send_text("".join(keys))


@pytest.mark.parametrize("script", [SCRIPT, [("mark", "h"), ("stop", "")]], ids=["typed", "prose"])
@pytest.mark.parametrize("drive", [_piped, _keyed], ids=["pipe", "terminal"])
def test_every_door_keeps_the_same_reviews(
    tmp_path: Path, drive: Callable[[Path, Script], list[tuple[str, int, str]]], script: Script
) -> None:
    """What is kept doesn't depend on the door."""
    one, two = tmp_path / "one", tmp_path / "two"
    one.mkdir()
    two.mkdir()

    assert _alone(one, script) == drive(two, script) != []


def test_a_letter_overrules_the_mark(tmp_path: Path) -> None:
    """`h` after a right answer marks it hesitant, and the review is replaced."""
    with create_pipe_input() as typed, _sitting(tmp_path, SCRIPT) as (session, store, screen, out):
        _type(typed, ["150\r", "h", "x"])
        AtTerminal(session, screen, Keyboard(typed, DummyOutput()), lambda _: []).run()

        assert [2] == [mark for _, mark, _ in _kept(store)]
        assert "Marked hesitant" in out.getvalue()


def test_an_interrupt_keeps_what_was_answered(tmp_path: Path) -> None:
    """Ctrl-C in the middle of a line ends the sitting; the answer before it stays."""
    with create_pipe_input() as typed, _sitting(tmp_path, SCRIPT) as (session, store, screen, _):
        _type(typed, ["nothing\r", "\r", "half an ans\x03"])
        AtTerminal(session, screen, Keyboard(typed, DummyOutput()), lambda _: []).run()

        assert 1 == len(_kept(store))


def test_the_screen_fits_forty_columns_and_says_all_without_colour(tmp_path: Path) -> None:
    """No line is wider than the terminal, and no escape is written where there is no colour."""
    with _sitting(tmp_path, SCRIPT) as (session, _, screen, out):
        screen.console = Console(file=out, width=40, highlight=False, no_color=True)
        FromPipe(session, screen, iter(["wrong\n"] * 9), lambda _: []).run()
        lines = out.getvalue().splitlines()

        assert [] == [line for line in lines if len(line) > 40 or "\x1b" in line]
        assert any("Wrong, on a critical point" in line for line in lines)
