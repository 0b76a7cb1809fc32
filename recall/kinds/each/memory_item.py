"""The kind `memory-item`: what must be recited word for word. Steps that bold or their place marks, and paragraphs in
a place that says so."""

from collections.abc import Sequence
from typing import ClassVar

from recall.answers import RecitalAnswer
from recall.base import regex as re
from recall.base.finding import finding
from recall.base.text import one_line, shown
from recall.kinds.aspect import Aspect
from recall.kinds.english import upper
from recall.kinds.kind import Kind, Line
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.steps.memory import without_memory
from recall.kinds.steps.reading import SIGNAL, Step, step_words, title_of
from recall.kinds.steps.telling import tells
from recall.notes.model import Paragraph, Text

_BRACKETS = re.compile(r"\s*\([^()]*\)")
_MOST_WORDS = 60


def memory_item(steps: Sequence[Step], title: str, scope: Scope) -> Point:
    """The one memory item of some steps; it stands at its first step."""
    point = base_point("memory-item", Text(title, steps[0].place, "all"), scope)
    point.critical = True
    point.fields["steps"] = tuple(step.text for step in steps)
    return point


def called(point: Point) -> str:
    """What steps are called in a question, without saying again that they are memory items, and without a colon."""
    named = without_memory(point.named()) or point.named()
    return re.sub(r":\s+", " – ", named)


class MemoryItem(Kind):
    """Words to recite without fail; only case, blanks and punctuation are forgiven."""

    name = "memory-item"
    rank = 10
    title = "Memory items"
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        (
            "{it}: recite the memory items.",
            "{it}: say your memory items, word for word.",
            "{it}: what do you do from memory?",
        ),
    )
    aspects = (
        Aspect(
            "recite",
            "steps",
            "{named}: recite the memory items.",
            form=lambda steps: RecitalAnswer(steps, tuple(one_line(step).casefold() for step in steps)),
        ),
    )
    by_heading = True

    def lines(self, point: Point) -> Sequence[Line]:
        """Its steps."""
        return [Line(text) for text in point.fields["steps"]]

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """In a place that says so, a paragraph wholly in bold, or behind a bold lead (`**Smoke:** masks ON`)."""
        if any(run.code or run.link for run in block.text.runs):
            return None
        if not scope.memory:
            return _unmarked(block) if block.text.bold == "all" else None
        title, plain = title_of(None, scope), block.text.plain
        if (lead := block.text.lead) and lead.bold and lead.text.rstrip().endswith((":", "–", "-")):
            title, plain = lead.text.rstrip(" :–-"), plain.replace(lead.text, "", 1)
        elif block.text.bold != "all":
            return _bold_at_first(block)
        whole = _BRACKETS.sub("", plain).strip()
        count = len(re.findall(r"[^\W\d_]+", whole))
        if not title or not 2 <= count <= _MOST_WORDS or whole.endswith((":", "?")) or SIGNAL.match(whole):
            return None
        parts = [run.text for run in block.text.runs] if block.text.bold == "all" else [plain]
        lines = [line.strip() for part in parts for line in part.split("\n") if line.strip()]
        point = memory_item([Step(step_words(line), block.text.place) for line in lines], title, scope)
        point.id = scope.heading_id if block.text.bold == "all" else ""
        return [point], []

    def words(self, point: Point) -> dict[str, str]:
        """What it is called, without what the question says itself."""
        return {"named": upper(called(point))}


def _bold_at_first(block: Paragraph) -> Read | None:
    """Lines in bold with others below them: where each of those ends nobody can tell, so that they are told."""
    words = [run.text for run in block.text.runs if run.text.strip()]
    bold = [run.bold for run in block.text.runs if run.text.strip()]
    if bold.count(True) < 2 or bold != sorted(bold, reverse=True):
        return None
    message = (
        f"memory items that begin `{shown(words[0])[:40]}` make no card: some of their lines aren't in bold"
    )
    help = "write them as a numbered list, a step a line"
    return [], [finding("unread-sentence", block.text.place, message, help)]


def _unmarked(block: Paragraph) -> Read | None:
    """Orders in bold where nothing says that they are to be recited: told, and not guessed."""
    plain = one_line(block.text.plain)
    if SIGNAL.match(plain) or not all(map(tells, re.split(r"(?<=[.!])\s+", plain))) or len(plain.split()) < 3:
        return None
    message = f"`{shown(plain)[:60]}` makes no card: the nearest kind is memory-item, but nothing says that it is one"
    help = "put it under a heading such as `Memory items`, or a line `Memory item:` above it"
    return [], [finding("unread-sentence", block.text.place, message, help)]
