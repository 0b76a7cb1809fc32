"""The kind `memory-item`: what must be recited word for word. Steps or a paragraph wholly in bold."""

import re
from collections.abc import Sequence

from recall.base.text import one_line
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.kinds.steps.procedure import states, tells
from recall.kinds.steps.steps import SIGNAL, Step, step_words, title_of
from recall.kinds.tables.cells import leaks
from recall.notes.model import Paragraph, Text

_NUMBER = re.compile(r"(?:^|(?<=\s))\(?(\d{1,2})[.)]\s+(?=[^\W\d])")
_BRACKETS = re.compile(r"\s*\([^()]*\)")
_MOST_WORDS = 60
_FEWEST_WORDS = 6
"""A shorter order in lower case without a stop is a heading by another name (`Check the oil level`)."""


def memory_item(steps: Sequence[Step], title: str, scope: Scope) -> Point:
    """The one memory item of some steps; it stands at its first step."""
    point = base_point("memory-item", Text(title, steps[0].place, "all"), scope)
    point.critical = True
    point.fields["steps"] = tuple(step.text for step in steps)
    return point


class MemoryItem(Kind):
    """Words to recite without fail; only case, blanks and punctuation are forgiven."""

    name = "memory-item"
    aspects = ("recite",)
    by_heading = True

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A paragraph wholly in bold that tells what to do, under the heading that names it."""
        title = title_of(None, scope)
        if block.text.bold != "all" or not title:
            return None
        lines = lines_of(block.text)
        if not _recited(block.text, lines, scope):
            return None
        point = memory_item([Step(step_words(line), block.text.place, True) for line in lines], title, scope)
        point.id = scope.heading_id
        return [point], []

    def drafts(self, point: Point) -> list[Draft]:
        """Recite it."""
        steps = point.fields["steps"]
        named = f"{point.subject} ({point.condition})" if point.condition else point.subject
        asked = f"{named}: recite the memory item{'s' if len(steps) > 1 else ''}."
        same = tuple(one_line(step).casefold() for step in steps)
        return (
            [] if leaks(asked, [" ".join(steps)]) else [Draft("recite", asked, steps, "exact", same_as=same)]
        )


def lines_of(text: Text) -> list[str]:
    """The lines of a bold paragraph: as they are broken, or parted by the numbers 1, 2, … in it."""
    lines = [line.strip() for line in text.plain.split("\n") if line.strip()]
    if len(lines) != 1:
        return lines
    starts = list(_NUMBER.finditer(lines[0]))
    counted = [int(found[1]) for found in starts]
    if len(starts) < 2 or starts[0].start() or counted != list(range(1, len(starts) + 1)):
        return lines
    ends = [*(found.start() for found in starts[1:]), len(lines[0])]
    return [lines[0][found.start() : end].strip() for found, end in zip(starts, ends, strict=True)]


def _recited(text: Text, lines: Sequence[str], scope: Scope) -> bool:
    """Whether lines in bold are to be recited: orders and positions, no heading by another name and no remark."""
    whole = _BRACKETS.sub("", " ".join(lines)).strip()
    words = re.findall(r"[^\W\d_]+", whole)
    if not 2 <= len(words) <= _MOST_WORDS or whole.endswith((":", "?")) or SIGNAL.match(whole):
        return False
    if any(run.code or run.link for run in text.runs):
        return False
    if scope.memory:
        return True
    sentences = [_sentences(_BRACKETS.sub("", line)) for line in lines]
    if not all(any(map(tells, each)) for each in sentences) or any(
        states(one) for each in sentences for one in each
    ):
        return False
    shouted = any(len(word) > 1 and word.isupper() for word in words)
    return shouted or whole.endswith((".", "!")) or len(words) >= _FEWEST_WORDS or len(lines) > 1


def _sentences(line: str) -> list[str]:
    return [piece for piece in re.split(r"(?<=\w[.!;])\s+", step_words(line)) if piece]
