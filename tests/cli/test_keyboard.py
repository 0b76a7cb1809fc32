"""The keys of a real terminal library: what is typed on a line, single keys, and keys that count for nothing."""

import io
from collections.abc import Sequence
from pathlib import Path

import pytest
from prompt_toolkit.input import PipeInput, create_pipe_input
from prompt_toolkit.output import DummyOutput
from rich.console import Console
from sitting_kit import Sat, Script, begin, opened

from recall.cli.keys import Keyboard
from recall.cli.screen import Screen
from recall.cli.sitting import AtTerminal, from_pipe
from recall.session.view import SETTLE

NOTE = "# Fuel\n\nSource: Handbook 1\n\n" + "".join(f"- **F{at}D** – fuel {at} drain\n" for at in range(3))


class Paced(Keyboard):
    """A keyboard at which, after each answer, some keys come too early and others in time. run: what follows a
    letter, each within the moment behind the one before."""

    def __init__(self, typed: PipeInput, bursts: Sequence[tuple[str, str]], run: Sequence[str] = ()) -> None:
        self.typed, self.bursts, self.late, self.run = typed, list(bursts), "", list(run)
        super().__init__(typed, DummyOutput(), self._moment)

    def _moment(self, seconds: float) -> None:
        if seconds > SETTLE:  # behind a letter
            self.typed.send_text(self.run.pop(0) if self.run else "")
            return
        if not self.late:
            early, self.late = self.bursts.pop(0) if self.bursts else ("", "\x04")
            self.typed.send_text(early)

    def settle(self, *, on_a_line: bool = False) -> str:
        """Type in time what is left of the burst, once nothing more comes too soon."""
        self.late = ""
        early = super().settle(on_a_line=on_a_line)
        self.typed.send_text(self.late)
        return early

    def key(self, wanted: Sequence[str]) -> str:
        """End behind what was no key."""
        key = super().key(wanted)
        self.typed.send_text("" if key else "\x04")
        return key


def _sat(
    folder: Path, first: str, *bursts: tuple[str, str], run: Sequence[str] = ()
) -> tuple[Sat, str, list[tuple[int, str, str]]]:
    """A review at a terminal, what it showed, and what is kept."""
    out = io.StringIO()
    with opened(folder, NOTE) as (store, clock), create_pipe_input() as typed:
        sat = begin(store, clock)
        typed.send_text(first)
        AtTerminal(
            sat.sitting, Screen(out, 80, Console(file=out, width=80)), Paced(typed, bursts, run), clock
        ).run()
        return sat, out.getvalue(), sat.kept()


def test_keys_right_after_an_answer_count_for_nothing(tmp_path: Path) -> None:
    """A letter typed too early doesn't change the mark, an Enter too many answers nothing."""
    _, out, kept = _sat(tmp_path, "not this\r", ("h\r\ri", "\r"), ("\r\r", "x\x03"))

    assert [(1, "program", "not this")] == kept
    assert "Nothing was typed" not in out


def test_letters_too_early_stand_on_the_line_of_the_next_answer(tmp_path: Path) -> None:
    """What is typed as soon as a question stands there is no answer before its own Enter, and isn't lost."""
    _, out, kept = _sat(tmp_path, "fuel 0 drain\r", ("fuel 1\r", " drain\r"), ("", "\x04"))

    assert [(3, "program", "fuel 0 drain"), (3, "program", "fuel 1 drain")] == kept
    assert "right after" not in out


@pytest.mark.parametrize(
    ("first", "early"), [("not this\r", "h"), ("not this\r", "r\r"), ("fuel 0 drain\r", "fuel 1\rfuel 2\r")]
)
def test_what_is_typed_too_early_and_lost_is_told(tmp_path: Path, first: str, early: str) -> None:
    """A letter at a verdict, and several lines at a question, do nothing and are said to."""
    _, out, kept = _sat(tmp_path, first, (early, "\x03"))

    assert 1 == len(kept)
    assert 1 == out.count("What you typed right after the answer did nothing")


def test_an_interrupt_counts_at_once(tmp_path: Path) -> None:
    """Ctrl-C right after an answer breaks off."""
    _, out, kept = _sat(tmp_path, "not this\r", ("\x03", "\r"))

    assert 1 == len(kept)
    assert "Broken off" in out


def test_pasted_colours_are_no_keys(tmp_path: Path) -> None:
    """What is pasted out of a terminal with its colours, whose end the library takes for the mouse: on a line the
    words count, at a key nothing does."""
    _, out, kept = _sat(tmp_path, "not \x1b[31mthis\x1b[0m\r", ("", "\x1b[0m\x03"))

    assert [(1, "program", "not this")] == kept
    assert "Unhandled" not in out


def test_letters_in_time_mark(tmp_path: Path) -> None:
    """`h` once the moment is over marks the last answer hesitant."""
    _, _, kept = _sat(tmp_path, "not this\r", ("", "h"), ("", "\x04"))

    assert [(2, "self", "not this")] == kept


@pytest.mark.parametrize("word", ["instant", "sight", "r i", "hh", "r\r"])
def test_letters_in_a_run_are_words_and_mark_nothing(tmp_path: Path, word: str) -> None:
    """Typed as if the next question stood there already, one letter after another, they leave the answer missed."""
    _, out, kept = _sat(tmp_path, "not this\r", ("", word[0]), run=word[1:])

    assert [(1, "program", "not this")] == kept
    assert 1 == out.count("Nothing was done")


def test_a_key_that_does_nothing_is_said(tmp_path: Path) -> None:
    """Enter, where a person marks, marks nothing and says so."""
    note = "## Why does the feeder come first?\n\nIt alone feeds the engine.\n"
    out = io.StringIO()
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        hands = Script(["> the tail", "key Enter", "key z", "key m"], out, clock)
        AtTerminal(sat.sitting, Screen(out, 80, Console(file=out, width=80)), hands, clock).run()
        kept = sat.kept()

    assert [(1, "self", "the tail")] == kept
    assert 2 == out.getvalue().count("Nothing was done")


def test_lines_that_were_no_answer_are_no_part_of_the_next(tmp_path: Path) -> None:
    """Asked again, all that is typed then is the answer."""
    note = "| From | Feeds |\n|---|---|\n| Main bus | Plotter, BCU |\n"
    out = io.StringIO()
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        hands = Script(["> -", "> ", "> Plotter", "> BCU", "> "], out, clock)
        AtTerminal(sat.sitting, Screen(out, 80, Console(file=out, width=80)), hands, clock).run()
        kept = sat.kept()

    assert "Nothing is kept" in out.getvalue()
    assert [(3, "program", "Plotter\nBCU")] == kept


@pytest.mark.parametrize("end", ["\n", "", "\r\n"])
def test_a_pipe_gives_several_lines_of_one_answer(tmp_path: Path, end: str) -> None:
    """A line that ends in a backslash goes on in the next, which the question says."""
    note = "| From | Feeds |\n|---|---|\n| Main bus | Plotter, BCU |\n"
    out = io.StringIO()
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        sat.sitting.pause = "none"
        from_pipe(sat.sitting, Screen(out, 80), iter([f"Plotter\\{end or chr(10)}", f"BCU{end}"]))
        kept = sat.kept()

    assert [(3, "program", "Plotter\nBCU")] == kept
    assert "a line that ends in \\ goes on in the next" in out.getvalue()


def test_a_long_recital_that_is_wrong_as_a_whole_leaves_its_verdict_on_the_screen(tmp_path: Path) -> None:
    """From the verdict to the keys there are fewer rows than the 24 of a terminal, however much was typed."""
    steps = ("Pump", "Valve", "Heater", "Fan", "Beacon", "Radio", "Starter", "Bleed")
    note = "# Fire\n\n**Memory items**\n\n" + "".join(f"1. **{step} OFF**\n" for step in steps)
    out = io.StringIO()
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        hands = Script([*["> nonsense"] * 14, "> "], out, clock)
        AtTerminal(sat.sitting, Screen(out, 80, Console(file=out, width=80)), hands, clock).run()
    told = out.getvalue().partition("Wrong, on a critical point")[2].partition("u undo")[0]

    assert "8. Bleed OFF" in told
    assert len(told.splitlines()) < 24


def test_an_interrupt_keeps_what_was_answered_and_leaves_the_sitting(tmp_path: Path) -> None:
    """Ctrl-C in the middle of a line; the next review goes on with the same question."""
    sat, _, kept = _sat(tmp_path, "fuel 0 drain\r", ("", "half an ans\x03"))

    assert 1 == len(kept)
    assert "asking" == sat.sitting.phase


@pytest.mark.parametrize("door", ["pipe", "terminal"])
def test_the_screen_fits_forty_columns_and_says_all_without_colour(tmp_path: Path, door: str) -> None:
    """No line is wider than the terminal, and no escape is written where there is no colour."""
    out = io.StringIO()
    screen = Screen(out, 40, Console(file=out, width=40, highlight=False, no_color=True))
    note = NOTE.replace("Fuel", "A heading that is long enough / to be cut somewhere")
    with opened(tmp_path, note) as (store, clock):
        sat = begin(store, clock)
        if door == "pipe":
            from_pipe(sat.sitting, screen, iter(["wrong\n"] * 9))
        else:
            with create_pipe_input() as typed:
                typed.send_text("wrong\r")
                AtTerminal(sat.sitting, screen, Paced(typed, [("", "x")]), clock).run()
    lines = out.getvalue().splitlines()

    assert [] == [line for line in lines if len(line) > 40 or "\x1b" in line]
    assert any("Not right" in line for line in lines)
