"""A sitting at a terminal, key by key, and one read from a pipe, line by line. Both drive the same engine."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from recall.base.marks import MARKS, Mark
from recall.cli.keys import Keys
from recall.cli.screen import CAUTIONARY, QUIET, Screen
from recall.kinds.marking import Question
from recall.kinds.model import Card
from recall.session.engine import Session
from recall.session.model import Outcome

SourceLines = Callable[[Card], Sequence[tuple[int, str]]]
BY_LETTER: dict[str, Mark] = {mark[0]: mark for mark in MARKS}
COMMANDS = "u undo  o source  x stop"
LETTERS = ", ".join(f"{mark[0]} {mark}" for mark in MARKS)
ON_THE_LINE = ":undo takes the last answer back, :source says where it stands, :stop ends."


def mark_named(text: str) -> Mark | None:
    """A mark by its letter or its word."""
    text = text.strip().casefold()
    return BY_LETTER.get(text) or next((mark for mark in MARKS if mark == text), None)


@dataclass(slots=True)
class AtTerminal:
    """One letter key each for a mark, undo, source and stop; typed answers on a line of their own."""

    session: Session
    screen: Screen
    keys: Keys
    source: SourceLines
    hinted: bool = False

    def run(self) -> None:
        """Ask until the end or a stop. Every answered card is kept, however it ends."""
        try:
            while (question := self.session.ask()) is not None:
                self.screen.question(question, self.session.progress())
                if question.typed:
                    self._typed(question)
                else:
                    self._prose(question)
        except (KeyboardInterrupt, EOFError):
            self.screen.line()

    def _line(self, question: Question) -> str | None:
        """What is typed; None for an undo. Commands that don't end the question are carried out on the way."""
        lines: list[str] = []
        several = question.typed and question.card.answer.several
        while True:
            given = self.keys.line("> ", self.session.touched)
            command = given.strip().casefold()
            if command == ":stop":
                raise EOFError
            if command == ":undo":
                if self._undo():
                    return None
            elif command == ":source":
                self.screen.source(question.card, None)
            elif command.startswith(":") or command == "?":
                self.screen.line(ON_THE_LINE, QUIET)
            elif command and (lines or (several and not any(sign in given for sign in ",;"))):
                lines.append(given)
            else:
                return "; ".join(lines) if lines else given

    def _typed(self, question: Question) -> None:
        if not self.hinted:
            self.screen.line(f"Type the answer, then Enter. {ON_THE_LINE}", QUIET)
            self.hinted = True
        if question.card.answer.several:
            self.screen.line("One a line, an empty line ends; or all on one line with commas.", QUIET)
        given = self._line(question)
        if given is not None:
            self._after(self.session.answer(given))

    def _prose(self, question: Question) -> None:
        self.screen.line("Say it, or type it; Enter shows the answer.", QUIET)
        given = self._line(question)
        if given is None:
            return
        proposal = self.session.propose()
        self.screen.answer(question.card)
        self.screen.about(question.card, self.session.reviews.remark(question.card))
        self.screen.line()
        by_enter = "" if question.card.critical else f" Enter marks it {proposal}."
        self.screen.line(f"How did it go?{by_enter}", QUIET)
        self.screen.line(f"{'  '.join(f'{mark[0]} {mark}' for mark in MARKS)}   {COMMANDS}", QUIET)
        self.keys.forget()
        wanted = BY_LETTER if question.card.critical else {**BY_LETTER, "enter": proposal}
        key = self._key(wanted, question.card)
        if key is not None:
            self._said(self.session.judge(wanted[key], given))

    def _key(self, wanted: Iterable[str], card: Card) -> str | None:
        """A wanted key; None for an undo. The source may be looked at on the way; a colon begins a command."""
        while True:
            key = self.keys.key((*wanted, "u", "o", "x", ":"))
            if key == ":":
                command = self.keys.line(":", lambda: None).strip().casefold()
                key = {"undo": "u", "source": "o", "stop": "x"}.get(command, "")
            if key == "x":
                raise EOFError
            if key == "u":
                if self._undo():
                    return None
            elif key == "o":
                self.screen.source(card, self.source(card))
            elif key:
                return key
            else:
                self.screen.line(ON_THE_LINE, QUIET)

    def _said(self, outcome: Outcome) -> None:
        back = " It comes back before the end." if outcome.returns else ""
        self.screen.line(f"Marked {outcome.mark}.{back}", QUIET)
        if outcome.was is not None:
            since = f" since revision {outcome.was.revision}" if outcome.was.revision else ""
            was, now = "; ".join(outcome.was.answer), outcome.card.answer.text
            self.screen.line(f"was {was}, now {now}{since}", CAUTIONARY, 2)

    def _after(self, outcome: Outcome) -> None:
        """The outcome of a typed answer, and what the person says to it."""
        self.screen.outcome(outcome)
        self.screen.line()
        self.keys.forget()
        while True:
            others = {mark[0]: mark for mark in self.session.may_overrule() if mark != outcome.mark}
            self.screen.line(f"Marked {outcome.mark}; Enter goes on.", QUIET)
            listed = "  ".join(f"{letter} {mark}" for letter, mark in others.items())
            self.screen.line(f"Mark otherwise: {listed}   {COMMANDS}" if others else COMMANDS, QUIET)
            key = self._key(("enter", *others), outcome.card)
            if key is None or key == "enter":
                return
            outcome = self.session.overrule(others[key])

    def _undo(self) -> bool:
        """Take the last answer back; whether there was one."""
        if self.session.undo() is None:
            self.screen.line(
                "There is nothing to undo in this sitting; recall undo takes back an earlier answer."
            )
            return False
        self.screen.line("Taken back; it is asked again.")
        return True


@dataclass(slots=True)
class FromPipe:
    """An answer a line; prose takes a second line for its mark. No time is measured."""

    session: Session
    screen: Screen
    lines: Iterator[str]
    source: SourceLines

    def run(self) -> None:
        """Ask until the end of the input or a stop."""
        while (question := self.session.ask()) is not None:
            self.screen.question(question, self.session.progress())
            if not self._one(question):
                return

    def _one(self, question: Question) -> bool:
        while (given := self._line()) is not None:
            match given.strip().casefold():
                case ":stop":
                    return False
                case ":undo":
                    if self.session.undo() is not None:
                        self.screen.line("Taken back.")
                        return True
                    self.screen.line("There is nothing to undo.")
                case ":source":
                    self.screen.source(question.card, None)
                case command if command.startswith(":"):
                    self.screen.line(ON_THE_LINE)
                case _ if question.typed:
                    outcome = self.session.answer(given)
                    self.screen.outcome(outcome)
                    self.screen.line(f"Marked {outcome.mark}.")
                    return True
                case _:
                    return self._judged(question, given)
        return False

    def _judged(self, question: Question, given: str) -> bool:
        self.screen.answer(question.card)
        self.screen.about(question.card, self.session.reviews.remark(question.card))
        self.screen.line(f"How did it go? {LETTERS}.")
        while (said := self._line()) is not None:
            match said.strip().casefold():
                case ":stop":
                    return False
                case ":source":
                    self.screen.source(question.card, self.source(question.card))
                    continue
                case ":undo":
                    if self.session.undo() is not None:
                        self.screen.line("Taken back.")
                        return True
                    self.screen.line("There is nothing to undo.")
                    continue
            wish = mark_named(said)
            if wish is not None:
                outcome = self.session.judge(wish, given)
                self.screen.line(f"Marked {outcome.mark}.")
                return True
            self.screen.line(f"`{said.strip()}` is no mark: {LETTERS}.")
        return False

    def _line(self) -> str | None:
        line = next(self.lines, None)
        return None if line is None else line.rstrip("\r\n")
