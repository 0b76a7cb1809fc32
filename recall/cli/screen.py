"""What a sitting looks like: questions, outcomes, the end. The same words on a terminal and in a pipe.

Colour follows the alerting convention (14 CFR 25.1322): red only for a wrong answer on a critical point, amber for
other wrong answers and for cautions; never colour alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from rich.console import Console
from rich.text import Text

from recall.base.text import CAUTION, one_line, shown
from recall.cli.output import width
from recall.kinds.marking import Question
from recall.kinds.model import Card
from recall.session.model import Outcome, Progress, Summary

WARNING, CAUTIONARY, QUIET, STRONG = "bold red", "yellow", "dim", "bold"
MOST_LISTED = 8


def time_left(seconds: float) -> str:
    """A stretch of time as a person says it."""
    if seconds < 45:
        return "under a minute left"
    return f"about {max(1, round(seconds / 60))} min left"


@dataclass(slots=True)
class Screen:
    """Writes a sitting to a console."""

    console: Console
    usual: frozenset[str] = frozenset()
    """What whole decks apply to: not said at each question."""

    @classmethod
    def on(cls, usual: frozenset[str] = frozenset(), *, errors: bool = False) -> "Screen":
        """A screen on standard output, as wide as is pleasant to read. errors: on standard error."""
        console = Console(stderr=errors, width=width(), highlight=False, markup=False, emoji=False)
        return cls(console, usual)

    def line(self, text: str = "", style: str = "", indent: int = 0) -> None:
        """One paragraph, wrapped, hidden characters escaped."""
        for part in shown(text).split("\n"):
            wrapped = Text(part, style=style).wrap(self.console, max(20, self.console.width - indent))
            for row in wrapped or [Text("")]:
                row.rstrip()
                self.console.print(Text(" " * indent) + row, soft_wrap=True)

    def apart(self, left: str, right: str, style: str = QUIET) -> None:
        """Two texts at the two ends of a line; the left one gives way at its front."""
        left, right = shown(one_line(left)), shown(one_line(right))
        room = self.console.width - len(right) - 2
        if len(left) > room:
            parts = left.split(" / ")
            while len(parts) > 1 and len("… / " + " / ".join(parts)) > room:
                parts = parts[1:]
            left = "… / " + " / ".join(parts)
            left = left if len(left) <= room else left[: max(room - 1, 0)] + "…"
        self.line(left.ljust(room) + "  " + right, style)

    def caution(self) -> None:
        """Said once, at first use."""
        self.line(
            "recall is a study aid. It never replaces the approved flight manual, the operator's procedures or an "
            "instructor: they decide."
        )
        self.line(CAUTION, STRONG)
        self.line()

    def question(self, question: Question, progress: Progress) -> None:
        """The topic, how far it is, and the question."""
        card = question.card
        topic = " / ".join(card.topic) or card.deck
        self.line()
        self.apart(
            topic, f"{progress.put + 1} of {progress.put + progress.left}, {time_left(progress.seconds)}"
        )
        self.line()
        if card.critical:
            self.line("Critical: to be known without fail.", STRONG)
        self.line(card.prompt, STRONG)
        if card.applies and card.applies not in self.usual:
            self.line(f"(applies to {card.applies})", QUIET)

    def outcome(self, outcome: Outcome) -> None:
        """Whether it was right, the right answer, why, and where it stands."""
        card, verdict = outcome.card, outcome.verdict
        bad = WARNING if card.critical else CAUTIONARY
        if verdict.right and outcome.proposed == outcome.mark == "missed":
            self.line("Marked missed.", bad)
        elif verdict.right:
            self.line(f"Right ({verdict.note})." if verdict.note else "Right.", STRONG)
        else:
            said = "Wrong, on a critical point" if card.critical else "Not right"
            self.line(f"{said}: {verdict.why}." if verdict.why else f"{said}.", bad)
            self._differences(outcome, bad)
        self.answer(card, verdict.left_out, bad)
        if outcome.was is not None:
            was = "; ".join(outcome.was.answer)
            since = f" since revision {outcome.was.revision}" if outcome.was.revision else ""
            self.line(f"was {was}, now {card.answer.text}{since}", CAUTIONARY, 2)
            if outcome.was.same_as_given:
                self.line("You gave the old value.", CAUTIONARY, 2)
        if outcome.confused is not None:
            other = outcome.confused
            self.line(f"That is the answer to: {other.prompt}", "", 2)
        self.about(card, outcome.remark)
        if outcome.capped:
            self.line(
                "A critical point is marked hesitant at most when the answer was not right at once.", "", 2
            )
        if outcome.returns:
            self.line("It comes back before the end.", QUIET, 2)

    def _differences(self, outcome: Outcome, style: str) -> None:
        verdict = outcome.verdict
        if verdict.parts and outcome.given:
            pieces = []
            for what, run in groupby(verdict.parts, key=lambda part: part[0]):
                words = " ".join(word for _, word in run)
                pieces.append(words if what == "kept" else f"[{what}: {words}]")
            self.line(" ".join(pieces), style, 2)
        for member in verdict.added:
            self.line(f"added: {member}", style, 2)

    def answer(self, card: Card, left_out: Sequence[str] = (), bad: str = "") -> None:
        """The answer side; members that were left out are named as such, unless all were."""
        if len(card.answer.texts) == 1:
            self.line(card.answer.text, STRONG, 2)
            return
        ordered = card.answer.ordered
        some = 0 < len(left_out) < len(card.answer.texts)
        for number, member in enumerate(card.answer.texts, 1):
            missing = some and member in left_out
            lead = f"{number}. " if ordered else "- "
            self.line(
                f"{lead}{member}  (left out)" if missing else lead + member, bad if missing else STRONG, 2
            )

    def about(self, card: Card, remark: str = "") -> None:
        """The why, other columns, the student's own remark, the citation with file and line."""
        if card.why:
            self.line(f"Why: {card.why}", "", 2)
        for header, text in card.extra:
            self.line(f"{header}: {text}", "", 2)
        if remark:
            self.line(f"Your remark: {remark}", "", 2)
        cite = f"{card.cite}; " if card.cite else ""
        self.line(f"{cite}{card.file} line {card.line}", QUIET, 2)

    def source(self, card: Card, lines: Sequence[tuple[int, str]] | None) -> None:
        """Where a card stands in its note, with the lines around it; None before the answer is given."""
        self.line(f"{card.file} line {card.line}" + (f"; {card.cite}" if card.cite else ""), STRONG, 2)
        for number, text in lines or ():
            self.line(f"{'>' if number == card.line else ' '}{number:>5}  {text}", "", 2)
        if lines is None:
            self.line("The note itself is shown once the answer is given.", QUIET, 2)
        elif not lines:
            self.line("The note itself isn't on this machine.", QUIET, 2)

    def end(self, summary: Summary, weak: Sequence[str]) -> None:
        """What was learned, what was missed, the weak topics."""
        self.line()
        if not summary.answers:
            self.line("Nothing was asked.")
            return
        minutes = f", {max(1, round(summary.seconds / 60))} min" if summary.seconds >= 1 else ""
        answers, cards = _count(summary.answers, "answer"), _count(summary.cards, "card")
        self.line(f"{answers} on {cards}, {summary.right} right{minutes}.", STRONG)
        missed = {card.id for card, _ in summary.missed}
        self._list("Learned", [(card.prompt, "") for card in summary.learned if card.id not in missed], "")
        self._list(
            "Missed",
            [
                (card.prompt, card.answer.text + ("" if mended else "  (not right yet)"))
                for card, mended in summary.missed
            ],
            CAUTIONARY,
        )
        if weak:
            self.line("Weak topics:", STRONG)
            for text in weak:
                self.line(text, "", 2)

    def _list(self, head: str, pairs: Sequence[tuple[str, str]], style: str) -> None:
        if not pairs:
            return
        self.line(f"{head}: {len(pairs)}", STRONG)
        for prompt, answer in pairs[:MOST_LISTED]:
            self.line(one_line(prompt), style, 2)
            if answer:
                self.line(one_line(answer), "", 6)
        if len(pairs) > MOST_LISTED:
            self.line(f"and {len(pairs) - MOST_LISTED} more", QUIET, 2)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
