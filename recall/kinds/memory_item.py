"""The kind `memory-item`: what must be recited word for word. Steps or a paragraph wholly in bold."""

import re
from collections.abc import Sequence

from recall.base.text import one_line
from recall.kinds.cells import leaks
from recall.kinds.model import Draft, Kind, Point, Read, Scope, base_point
from recall.kinds.steps import Step, step_words, title_of
from recall.notes.model import Paragraph, Text

_FEWEST_WORDS = 4
"""A shorter line in bold is a heading by another name."""


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
        """A paragraph wholly in bold, under the heading that names it."""
        text = one_line(block.text.plain)
        title = title_of(None, scope)
        words = re.findall(r"[^\W\d_]+", text)
        if block.text.bold != "all" or len(words) < _FEWEST_WORDS or text.endswith((":", "?")) or not title:
            return None
        point = memory_item([Step(step_words(text), block.text.place, True)], title, scope)
        point.id = scope.heading_id
        return [point], []

    def drafts(self, point: Point) -> list[Draft]:
        """Recite it."""
        steps = point.fields["steps"]
        named = f"{point.subject} ({point.condition})" if point.condition else point.subject
        asked = f"{named}: recite the memory item{'s' if len(steps) > 1 else ''}."
        drafts = [
            Draft("recite", asked, steps, "exact", same_as=tuple(one_line(step).casefold() for step in steps))
        ]
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]
