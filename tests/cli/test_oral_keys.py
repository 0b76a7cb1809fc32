"""A mock oral at a terminal, key by key: the candidate's own, and one that an examiner marks."""

import io
import random
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timezone
from pathlib import Path

import pytest
from cli_kit import NOTE
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from rich.console import Console

from recall.base.clock import SetClock
from recall.cli.keys import Keyboard
from recall.cli.oral_sitting import OralAtTerminal
from recall.cli.screen import Screen
from recall.deck.read import read_deck
from recall.session.desk import Desk
from recall.session.oral import Oral
from recall.store import Store

PROSE = "\n## Why does the feeder come first?\n\nIt is the only tank that feeds the engine, come what may.\n"
TYPED_CARDS, PROSE_KIND = 2, "question"


@contextmanager
def _sat(
    folder: Path, keys: str, *, examiner: bool = False, critical: bool = False
) -> Iterator[tuple[Oral, Store, str]]:
    """An oral of two typed answers and one in prose, sat to its end by these keys."""
    note = folder / "fuel.md"
    note.write_text(NOTE + PROSE, encoding="utf-8")
    with Store.open(folder / "store.db", SetClock(datetime(2026, 11, 24, 8, tzinfo=timezone.utc))) as store:
        deck = read_deck(note)[0]
        store.load(deck)
        typed = [card.id for card in deck.cards if card.answer.form == "words"][:TYPED_CARDS]
        prose = [card.id for card in deck.cards if card.kind == PROSE_KIND]
        if critical:
            typed, prose = [card.id for card in deck.cards if card.critical][:1], []
        oral = Oral(Desk(store), [*typed, *prose], store.clock, random.Random(1), examiner=examiner)
        out = io.StringIO()
        with create_pipe_input() as pipe:
            pipe.send_text(keys)
            screen = Screen(Console(file=out, width=80, highlight=False))
            OralAtTerminal(oral, screen, Keyboard(pipe, DummyOutput())).run()
        yield oral, store, out.getvalue()


def _kept(store: Store) -> list[tuple[int, str]]:
    rows = store.rows(
        "SELECT mark, json_extract(body, '$.marked_by') FROM event WHERE type = 'reviewed'"
        " AND id NOT IN (SELECT review FROM undone) ORDER BY id"
    )
    return [(int(mark), str(by)) for mark, by in rows]


def test_a_candidate_alone_hears_nothing_until_the_end(tmp_path: Path) -> None:
    """No answer is shown before the last question; undo is refused; prose is marked then, by its own key."""
    with _sat(tmp_path, ":undo\rno idea\rno idea either\rthe feeder\rh") as (oral, store, out):
        assert "There is no undo in an oral" in out
        before, after = out.split("Now mark your answers in prose.")
        assert "come what may" not in before and "come what may" in after
        assert [(1, "program"), (1, "program"), (2, "self")] == _kept(store)
        assert oral.over and not oral.unmarked


@pytest.mark.parametrize(
    ("keys", "marks"),
    [
        ("smi\r", [3, 1, 4]),
        ("m\rs\r", [1, 3, 3]),
        ("mushs\r", [3, 2, 3]),
        ("ssmui\r", [3, 3, 4]),
        ("usx", [3]),
        ("sq3sx", [3, 3]),
    ],
    ids=[
        "marks",
        "enter is sure",
        "undo",
        "undo the last",
        "nothing to undo, stop",
        "other keys are passed over",
    ],
)
def test_an_examiner_marks_by_keys(tmp_path: Path, keys: str, marks: list[int]) -> None:
    """A key marks, `u` takes the last mark back and puts that question again, `x` ends."""
    with _sat(tmp_path, keys, examiner=True) as (_, store, out):
        assert [(mark, "examiner") for mark in marks] == _kept(store)
        assert "For the examiner's eyes:" in out
        assert ("There is no mark to take back." in out) is keys.startswith("u")


def test_a_critical_point_wants_a_letter(tmp_path: Path) -> None:
    """Enter doesn't mark it."""
    with _sat(tmp_path, "\r\rm\r", examiner=True, critical=True) as (oral, store, out):
        assert 1 == len(oral.cards)
        assert [(1, "examiner")] == _kept(store)
        assert "Enter marks it" not in out
