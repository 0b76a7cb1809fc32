"""A sitting at a terminal, key by key, and one read from a pipe, line by line: two loops around one machine."""

import sys
from collections.abc import Iterator, Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

from recall.base.clock import Clock
from recall.base.dataclass import dataclass, field, replace
from recall.base.marks import MARKS
from recall.cli.screen import QUIET, Screen
from recall.session.commands import NO_KEY, TOO_SOON, command, help_with, words_behind
from recall.session.sitting import Sitting
from recall.session.view import ACTIONS, HELPS, StepError, View

if TYPE_CHECKING:
    from recall.cli.keys import Keyboard

APART = ("undo", "source", "stop")
HINTS: dict[str, str] = {
    "typed": "Type the answer, then Enter. `?` says what else may be typed.",
    "several": "One a line or all on one; an empty line ends.",
    "piped": "All on one line; a line that ends in \\ goes on in the next.",
    "must": "Type it, then Enter: the answer is shown beside it.",
    "prose": "Say it, or type it; Enter shows the answer.",
    "oral": "Say it in a few words, or aloud; then Enter.",
    "oral must": "Type it in a few words, then Enter. The answer is shown at the end.",
    "examiner": "For the examiner alone: read it out, and press what the answer was worth.",
}


def mark_named(text: str) -> str:
    """A mark by its letter or its word; empty where it is none."""
    text = text.strip().casefold()
    return next((mark for mark in MARKS if text in (mark, mark[0])), "")


def how_it_went(view: View) -> str:
    """The question for a person's mark."""
    return f"How did it go? Proposed: {view.proposed}." if view.proposed else "How did it go?"


def show(screen: Screen, view: View, before: View | None = None) -> None:
    """What is told, the question where it is put now, its answer where that is shown for the first time."""
    screen.tell(view.tell)
    if view.fresh:
        screen.question(view)
    if view.fresh or not (before and before.answer):
        screen.tell(view.answer)


def step(
    sitting: Sitting, screen: Screen, view: View, action: str, text: str, seconds: float | None = None
) -> View:
    """Take a step and show what comes of it; a step that is refused is said, and leaves the view."""
    try:
        after = sitting.act(view.token, action, text, seconds)
    except StepError as refused:
        screen.line(f"{refused.what[0].upper()}{refused.what[1:]}.")
        if refused.name == "elsewhere":
            raise EOFError from refused
        return view
    show(screen, after, view)
    return after


def run(sitting: Sitting, screen: Screen, clock: Clock) -> View:
    """Sit it where a person is at a terminal, or read it from standard input; the last view, which isn't over where
    an interrupt broke it off."""
    if not at_terminal():
        sitting.pause = "none"
        return from_pipe(sitting, screen, iter(sys.stdin.readline, ""))
    from recall.cli.keys import Keyboard

    return AtTerminal(sitting, screen, Keyboard(), clock).run()


def at_terminal() -> bool:
    """Whether a person types and reads."""
    return sys.stdin.isatty() and sys.stdout.isatty()


@dataclass(slots=True)
class AtTerminal:
    """A typed answer on lines of its own, one letter key for all else."""

    sitting: Sitting
    screen: Screen
    keys: "Keyboard"
    clock: Clock
    _lines: list[str] = field(default_factory=list)
    _begun: str = ""
    _hinted: set[str] = field(default_factory=set)
    _put_at: float = 0.0
    _touched: float | None = None

    def run(self) -> View:
        """Ask until the end, a stop or an interrupt, which leaves the sitting to be gone on with; the last view."""
        view = self.sitting.view()
        show(self.screen, view)
        if self.sitting.question is not None:
            self.sitting.desk.ready(self.sitting.question)  # while the person reads
        while view.phase != "over":
            if view.fresh:
                self._lines, self._put_at, self._touched = [], self.clock.ticks(), None
                view = replace(view, fresh=False)
            try:
                action, text = self._line(view) if view.phase == "asking" else self._key(view)
                if action in ("", "?"):
                    self.screen.line(help_with(view, text) if action else NO_KEY, QUIET)
                    continue
                view = step(self.sitting, self.screen, view, action, text, self._touched)
                self._early(view)
            except (KeyboardInterrupt, EOFError):
                self.screen.line("\nBroken off. The same command goes on with it today.")
                return view
        return view

    def _early(self, view: View) -> None:
        """Keys that came too soon do nothing: what they write stands on the line of an answer, else that is told."""
        asking = view.phase == "asking"
        early = self.keys.settle(on_a_line=asking)
        self._begun = early if asking and "\n" not in early else ""
        if early != self._begun:
            self.screen.line(TOO_SOON, QUIET)

    def _line(self, view: View) -> tuple[str, str]:
        """An answer or a command as it is typed; lines of an answer are kept while a command is carried out."""
        assert view.question is not None
        if self._touched is None:
            self._hint(view)
        while True:
            given, self._begun = self.keys.line("> ", self._touch, self._begun), ""
            self._touch()
            if named := command(given):
                return named, words_behind(given)
            if not (view.question.several and given.strip()):
                lines, self._lines = [*self._lines, given], []
                return "answer", "\n".join(lines)
            self._lines.append(given)

    def _touch(self) -> None:
        if self._touched is None:
            self._touched = self.clock.ticks() - self._put_at

    def _hint(self, view: View) -> None:
        """How to answer: each thing once a sitting, what makes one question unlike others at each."""
        assert view.question is not None
        put = view.question
        oral = "oral " if self.sitting.drawn else ""
        how = "typed" if put.typed else f"{oral}{'must' if put.must else ''}".strip() or "prose"
        if how != "typed" or how not in self._hinted:
            self.screen.line(HINTS[how], QUIET)
        if put.several:
            self.screen.line(HINTS["several"], QUIET)
        if "notes" in view.may:
            self.screen.line(ACTIONS["notes"].does, QUIET)
        self._hinted.add(how)

    def _key(self, view: View) -> tuple[str, str]:
        """One of the actions that may be taken, by its key, and its text; a colon begins a command that is typed."""
        if self.sitting.examiner and "examiner" not in self._hinted:
            self.screen.line(HINTS["examiner"], QUIET)
            self._hinted.add("examiner")
        if view.phase == "marking":
            self.screen.line(how_it_went(view))
        for at, keys in enumerate(offers(view.may)):
            self.screen.line(("       " if at else "Keys:  ") + keys, QUIET)
        letters = {ACTIONS[action].key: action for action in view.may}
        key = self.keys.key((*letters, ":", "?"))
        if key == ":":
            typed = f":{self.keys.line(':', lambda: None)}"
            return command(typed), words_behind(typed)
        action = letters.get(key, key)
        return action, self.keys.line("Your remark: ", lambda: None) if action == "remark" else ""


def offers(may: Sequence[str]) -> list[str]:
    """The keys with what they do: those that answer, those that help, and the others."""
    told = {
        action: f"{ACTIONS[action].key} {ACTIONS[action].label}".replace("enter", "Enter") for action in may
    }
    rows = [action for action in may if action not in (*APART, *HELPS)], HELPS, APART
    lines = ["  ".join(told[action] for action in row if action in told) for row in rows]
    return list(filter(None, lines))


def from_pipe(sitting: Sitting, screen: Screen, lines: Iterator[str]) -> View:
    """An answer a line, or several lines of which all but the last end in a backslash; prose takes one more for its
    mark. The end of the input is a stop; the last view."""
    view = sitting.view()
    show(screen, view)
    while view.phase != "over":
        if view.fresh and view.phase == "asking" and view.question and view.question.several:
            screen.line(HINTS["piped"], QUIET)
            view = replace(view, fresh=False)
        if view.phase == "marking":
            marks = ", ".join(f"{mark[0]} {mark}" for mark in MARKS if mark in view.may)
            screen.line(f"{how_it_went(view)} {marks}.")
        line = next(lines, None)
        text = (line or "").rstrip("\r\n")
        while text.endswith("\\"):
            text = f"{text[:-1]}\n{next(lines, '')}".rstrip("\r\n")
        action = "stop" if line is None else command(text)
        if not action:
            action = {"asking": "answer", "told": "next"}.get(view.phase) or mark_named(text)
        if action in ("", "?"):
            said = f"`{text.strip()}`" if text.strip() else "An empty line"
            screen.line(help_with(view, text) if action else f"{said} is no mark.")
            continue
        with suppress(EOFError):  # gone on with elsewhere
            view = step(sitting, screen, view, action, text if action == "answer" else words_behind(text))
            continue
        return view
    return view
