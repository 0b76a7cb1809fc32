"""A mock oral at a terminal, and one read from a pipe. Both drive the same engine."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from recall.base.marks import MARKS, Mark
from recall.cli.keys import Keys
from recall.cli.screen import CAUTIONARY, QUIET, STRONG, Screen
from recall.cli.sitting import BY_LETTER, LETTERS, mark_named
from recall.kinds.marking import Question
from recall.kinds.model import Card
from recall.session.engine import EVERYDAY_SECONDS
from recall.session.model import Progress
from recall.session.oral import Oral, Said

NO_UNDO = "There is no undo in an oral, and no look at the source."
TAKEN_BACK = "Taken back; it is asked again."
NO_MARK = "There is no mark to take back."
LAST = "That was the last question. Enter ends the oral, u takes the mark back."


def _put(screen: Screen, oral: Oral, question: Question) -> None:
    left = len(oral.cards) - len(oral.said)
    screen.question(question, Progress(len(oral.said), left, left * EVERYDAY_SECONDS))


def _answer_side(screen: Screen, question: Question) -> None:
    """For the examiner's eyes."""
    screen.answer(question.card)
    screen.about(question.card)


def _by_enter(card: Card, mark: Mark) -> str:
    """What Enter marks, in a sentence; empty on a critical point, which wants a letter."""
    return "" if card.critical else f" Enter marks it {mark}."


def _no_mark(line: str) -> str | None:
    return None if mark_named(line) else f"`{line}` is no mark: {LETTERS}."


def _to_mark(screen: Screen, said: Said, number: int, of: int) -> None:
    screen.line()
    screen.apart(" / ".join(said.card.topic), f"{number} of {of} to mark")
    screen.line(said.card.prompt, STRONG)
    screen.line(f"You said: {said.given}" if said.given else "You said it aloud.", "", 2)
    screen.answer(said.card)
    screen.about(said.card)


@dataclass(slots=True)
class OralAtTerminal:
    """A line for each answer, a key for each mark."""

    oral: Oral
    screen: Screen
    keys: Keys

    def run(self) -> None:
        """Ask, then have the prose marked. Every marked answer is kept, however it ends."""
        try:
            while (question := self.oral.ask()) is not None:
                _put(self.screen, self.oral, question)
                if not (self._examine(question) if self.oral.examiner else self._answer(question)):
                    self.oral.stop()
        except (KeyboardInterrupt, EOFError):
            self.oral.stop()
            self.screen.line()
        try:
            self._mark_prose()
        except (KeyboardInterrupt, EOFError):
            self.screen.line()

    def _answer(self, question: Question) -> bool:
        hint = "Type the answer" if question.typed else "Say it in a few words, or aloud and type nothing"
        self.screen.line(f"{hint}, then Enter. `:stop` ends the oral.", QUIET)
        while True:
            given = self.keys.line("> ", self.oral.touched)
            match given.strip().casefold():
                case ":stop":
                    return False
                case ":undo" | ":source":
                    self.screen.line(NO_UNDO)
                case _:
                    self.oral.answer(given)
                    return True

    def _examine(self, question: Question) -> bool:
        self.screen.line("For the examiner's eyes:", QUIET)
        _answer_side(self.screen, question)
        enter = _by_enter(question.card, "sure")
        self.screen.line(f"Read the question out, hear the answer, mark it.{enter}", QUIET)
        key = self._key((*(("enter",) if enter else ()), *BY_LETTER, "u", "x"), "u undo  x stop")
        match key:
            case "x":
                return False
            case "u":
                self.screen.line(TAKEN_BACK if self.oral.undo() else NO_MARK)
            case _:
                wish = BY_LETTER.get(key, "sure")
                self.oral.judge(wish)
                self.screen.line(f"Marked {wish}.", QUIET)
                if self.oral.all_said:
                    self.screen.line(LAST, QUIET)
                    if self.keys.key(("enter", "u")) == "u" and self.oral.undo():
                        self.screen.line(TAKEN_BACK)
        return True

    def _mark_prose(self) -> None:
        waiting = self.oral.unmarked
        if waiting:
            self.screen.line()
            self.screen.line("Now mark your answers in prose.", STRONG)
        for number, said in enumerate(waiting, 1):
            _to_mark(self.screen, said, number, len(waiting))
            proposal = self.oral.propose(said)
            enter = _by_enter(said.card, proposal)
            self.screen.line(f"How did it go?{enter}", QUIET)
            key = self._key((*(("enter",) if enter else ()), *BY_LETTER, "x"), "x stop")
            if key == "x":
                return
            self.oral.settle(said, BY_LETTER.get(key, proposal))

    def _key(self, wanted: tuple[str, ...], beside: str) -> str:
        self.screen.line(f"{'  '.join(f'{mark[0]} {mark}' for mark in MARKS)}   {beside}", QUIET)
        return self.keys.key(wanted)


@dataclass(slots=True)
class OralFromPipe:
    """An answer a line; the marks of prose after the last question, a line each. With an examiner: a mark a line."""

    oral: Oral
    screen: Screen
    lines: Iterator[str]

    def run(self) -> None:
        """Ask until the end, the end of the input or a stop; then read the marks of prose."""
        while (question := self.oral.ask()) is not None:
            _put(self.screen, self.oral, question)
            if not (self._examine(question) if self.oral.examiner else self._answer()):
                self.oral.stop()
        waiting = self.oral.unmarked
        for number, said in enumerate(waiting, 1):
            _to_mark(self.screen, said, number, len(waiting))
            wish = self._mark()
            if wish is None:
                return
            self.oral.settle(said, wish)

    def _answer(self) -> bool:
        given = self._line({":undo": NO_UNDO, ":source": NO_UNDO}.get)
        if given is None:
            return False
        self.oral.answer(given)
        return True

    def _examine(self, question: Question) -> bool:
        _answer_side(self.screen, question)
        self.screen.line(f"How did it go? {LETTERS}; :undo takes the last mark back.", QUIET)
        said = self._line(lambda line: None if line == ":undo" else _no_mark(line))
        if said is None:
            return False
        wish = mark_named(said)
        if wish is not None:
            self.oral.judge(wish)
            if self.oral.all_said and next(self.lines, "").strip().casefold() == ":undo" and self.oral.undo():
                self.screen.line(TAKEN_BACK)
        else:
            self.screen.line(TAKEN_BACK if self.oral.undo() else NO_MARK)
        return True

    def _mark(self) -> Mark | None:
        """The next line that is a mark; None at the end of the input or a stop."""
        self.screen.line(f"How did it go? {LETTERS}.", QUIET)
        said = self._line(_no_mark)
        return None if said is None else mark_named(said)

    def _line(self, refused: Callable[[str], str | None]) -> str | None:
        """The next line that isn't refused, saying why one is; None at the end of the input or a stop."""
        for line in self.lines:
            text = line.rstrip("\r\n")
            if text.strip().casefold() == ":stop":
                return None
            why = refused(text.strip().casefold())
            if why is None:
                return text
            self.screen.line(why, CAUTIONARY)
        return None
