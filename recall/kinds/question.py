"""The kind `question`: a heading that ends in a question mark, with all the text it owns as the answer."""

import re

from recall.base.finding import Place, finding
from recall.base.text import one_line, shown
from recall.kinds.cells import is_placeholder, without_stop
from recall.kinds.model import Draft, Form, Kind, Point, Read, Scope, base_point
from recall.notes.model import Heading

_MOST_TYPED = 3
_NUMBERING = re.compile(
    r"^(?:\(?\d+(?:\.\d+)*[.)]|(?:Q|Question)\s?\d*\s*[.:)]|\d+(?:\.\d+)+)\s+(?=\S)", re.IGNORECASE
)


class Question(Kind):
    """A question that the instructor wrote."""

    name = "question"
    aspects = ("answer",)

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """A point of a heading that asks, with its text; a finding where it has none."""
        asked = one_line(heading.text.plain)
        if not asked.endswith(("?", "？")):
            return None
        if not re.search(r"\w", asked):
            return None
        body = body.strip()
        if is_placeholder(body):
            return [], [
                finding(
                    "missing-answer",
                    place,
                    f"question `{shown(asked)}` has no answer",
                    "write the answer under the heading",
                )
            ]
        point = base_point("question", heading.text, scope)
        point.subject = _NUMBERING.sub("", asked)
        point.id = heading.id
        point.fields["answer"] = (body,)
        return [point], []

    def drafts(self, point: Point) -> list[Draft]:
        """The question as it stands."""
        answer = point.fields["answer"][0]
        typed = without_stop(answer)
        form = _form(answer)
        return [Draft("answer", point.subject, (typed if form == "words" else answer,), form)]


def _form(answer: str) -> Form:
    """A few words are typed; a sentence, a list or a figure is revealed."""
    words = without_stop(answer).split()
    plain = "\n" not in answer and not re.search(r"[\d,;:()|/–—]|\. ", answer)
    return "words" if plain and len(words) <= _MOST_TYPED else "prose"
