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


def _run(folder: Path, keys: list[str], kind: str | None = None) -> tuple[list[tuple[str, int, str]], str]:
    """What is kept and shown of a sitting driven by keys."""
    script: Script = [("mark", "")] if kind == "question" else []
    with create_pipe_input() as typed, _sitting(folder, script) as (session, store, screen, out):
        _type(typed, [*keys, "\x04"])
        AtTerminal(session, screen, Keyboard(typed, DummyOutput()), lambda _: []).run()
        return _kept(store), out.getvalue()


def test_an_unknown_command_is_no_answer(tmp_path: Path) -> None:
    """`:help` and the like are explained, and the card is still asked."""
    kept, said = _run(tmp_path, [":help\r", "?\r", "150\r"])

    assert (1, 2) == (len(kept), said.count(":stop ends") - 1)


def test_an_undo_of_nothing_leaves_the_card(tmp_path: Path) -> None:
    """The same card is still asked."""
    kept, said = _run(tmp_path, [":undo\r", "150\r"])

    assert (1, 1) == (len(kept), said.count("1 of "))


def test_prose_that_is_typed_is_no_string_of_keys(tmp_path: Path) -> None:
    """Letters before the reveal are the answer; it is kept with the person's mark."""
    kept, said = _run(tmp_path, ["undo the oxide\r", "h"], kind="question")

    assert [(2, "undo the oxide")] == [(mark, given) for _, mark, given in kept]
    assert "Taken back" not in said


def test_a_colon_at_the_marks_begins_a_command(tmp_path: Path) -> None:
    """`:source` typed where keys are read shows the source, and marks nothing."""
    kept, said = _run(tmp_path, ["150\r", ":source\r", "\r"])

    assert [3] == [mark for _, mark, _ in kept]
    assert "isn't on this machine" in said


def test_what_cannot_be_given_is_not_offered(tmp_path: Path) -> None:
    """After a wrong answer on a critical point only `hesitant` is offered above `missed`."""
    _, said = _run(tmp_path, ["wrong\r"])
    line = next(text for text in said.splitlines() if text.startswith("Mark otherwise:"))

    assert ("h hesitant" in line, "s sure" in line) == (True, False)


def test_a_critical_prose_card_wants_a_mark_of_its_own(tmp_path: Path) -> None:
    """Two idle Enters don't mark it sure."""
    note = PROSE.replace("## Why", "## Memory items\n\n### Why").replace(
        "\n\nIt", "\n\nSource: Handbook 1\n\nIt"
    )
    (tmp_path / "m.md").write_text(NOTE + note, encoding="utf-8")
    with Store.open(tmp_path / "s.db", SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))) as store:
        store.load(read_deck(tmp_path / "m.md")[0])
        session = Session(Desk(store), order_of(store, kind="question"), store.clock, random.Random(4))
        out = io.StringIO()
        with create_pipe_input() as typed:
            _type(typed, ["\r", "\r", "\r", "m", "\x04"])
            AtTerminal(
                session, Screen(Console(file=out, width=80)), Keyboard(typed, DummyOutput()), lambda _: []
            ).run()

        assert [1] == [mark for _, mark, _ in _kept(store)][:1]
        assert "Enter marks it" not in out.getvalue()


def test_steps_may_be_recited_line_by_line(tmp_path: Path) -> None:
    """A memory item is typed one step a line; an empty line ends it."""
    (tmp_path / "m.md").write_text(
        "# Fire\n\nSource: Handbook 26-1\n\n1. **Lever OFF**\n2. **Handle PULL**\n", encoding="utf-8"
    )
    with Store.open(tmp_path / "s.db", SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))) as store:
        store.load(read_deck(tmp_path / "m.md")[0])
        session = Session(Desk(store), order_of(store), store.clock, random.Random(4))
        with create_pipe_input() as typed:
            _type(typed, ["lever off\r", "handle pull\r", "\r", "\r", "\x04"])
            AtTerminal(
                session, Screen(Console(file=io.StringIO())), Keyboard(typed, DummyOutput()), lambda _: []
            ).run()

        assert [3] == [mark for _, mark, _ in _kept(store)]


def test_what_was_missed_today_comes_first_in_the_next_sitting(tmp_path: Path) -> None:
    """A sitting that was stopped leaves nothing behind."""
    with _sitting(tmp_path, SCRIPT) as (session, store, _, _):
        session.ask()
        outcome = session.answer("wrong")
        again = order_of(store)

        assert outcome.card.id == again.waiting[0].card
