"""A sitting at a terminal, key by key, and one read from a pipe, line by line. Both drive the same engine."""

from collections.abc import Callable, Iterator, Sequence
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
                if not (self._typed(question) if question.typed else self._prose(question)):
                    return
        except (KeyboardInterrupt, EOFError):
            self.screen.line()

    def _typed(self, question: Question) -> bool:
        if not self.hinted:
            self.screen.line(
                "Type the answer, then Enter. `:undo`, `:source` or `:stop` on the line do that.", QUIET
            )
            self.hinted = True
        while True:
            given = self.keys.line("> ", self.session.touched)
            match given.strip().casefold():
                case ":stop":
                    return False
                case ":undo":
                    return self._undo()
                case ":source":
                    self._cite(question.card)
                case _:
                    return self._after(self.session.answer(given))

    def _prose(self, question: Question) -> bool:
        self.screen.line(f"Say it, then Enter shows the answer.   {COMMANDS}", QUIET)
        while True:
            key = self.keys.key(("enter", "u", "o", "x"))
            if key == "u":
                return self._undo()
            if key == "x":
                return False
            if key == "o":
                self._cite(question.card)
                continue
            break
        proposal = self.session.propose()
        self.screen.answer(question.card)
        self.screen.about(question.card, self.session.reviews.remark(question.card))
        self.screen.line()
        self.screen.line(f"How did it go? Enter marks it {proposal}.", QUIET)
        self.screen.line(f"{'  '.join(f'{mark[0]} {mark}' for mark in MARKS)}   {COMMANDS}", QUIET)
        while True:
            key = self.keys.key(("enter", *BY_LETTER, "u", "o", "x"))
            if key == "u":
                return self._undo()
            if key == "x":
                return False
            if key == "o":
                self.screen.source(question.card, self.source(question.card))
                continue
            outcome = self.session.judge(proposal if key == "enter" else BY_LETTER[key])
            self._said(outcome)
            return True

    def _said(self, outcome: Outcome) -> None:
        back = " It comes back before the end." if outcome.returns else ""
        self.screen.line(f"Marked {outcome.mark}.{back}", QUIET)
        if outcome.was is not None:
            since = f" since revision {outcome.was.revision}" if outcome.was.revision else ""
            was, now = "; ".join(outcome.was.answer), "; ".join(outcome.card.answer)
            self.screen.line(f"was {was}, now {now}{since}", CAUTIONARY, 2)

    def _after(self, outcome: Outcome) -> bool:
        """The outcome of a typed answer, and what the person says to it."""
        self.screen.outcome(outcome)
        self.screen.line()
        while True:
            others = "  ".join(f"{mark[0]} {mark}" for mark in MARKS if mark != outcome.mark)
            self.screen.line(f"Marked {outcome.mark}; Enter goes on.", QUIET)
            self.screen.line(f"Mark otherwise: {others}   {COMMANDS}", QUIET)
            key = self.keys.key(("enter", *BY_LETTER, "u", "o", "x"))
            if key == "enter":
                return True
            if key == "x":
                return False
            if key == "u":
                return self._undo()
            if key == "o":
                self.screen.source(outcome.card, self.source(outcome.card))
                continue
            outcome = self.session.overrule(BY_LETTER[key])
            if outcome.capped:
                self.screen.line(
                    "A critical point that wasn't right at once is marked hesitant at most.", CAUTIONARY
                )

    def _undo(self) -> bool:
        undone = self.session.undo()
        if undone is None:
            self.screen.line(
                "There is nothing to undo in this sitting; `recall undo` takes back an earlier answer."
            )
        else:
            self.screen.line("Taken back; it is asked again.")
        return True

    def _cite(self, card: Card) -> None:
        """Before the answer is given: where it stands, without the lines themselves."""
        self.screen.source(card, None)


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
                    undone = self.session.undo()
                    self.screen.line("There is nothing to undo." if undone is None else "Taken back.")
                    return True
                case ":source":
                    self.screen.source(question.card, None)
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
                    self.session.undo()
                    return True
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
