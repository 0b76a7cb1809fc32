"""The kind `question`: a heading that ends in a question mark, with all the text it owns as the answer."""

from collections.abc import Sequence

from recall.answers import NumberAnswer, ProseAnswer, WordsAnswer
from recall.base import regex as re
from recall.base.finding import Place, finding
from recall.base.text import one_line, shown
from recall.kinds.kind import Kind, Line
from recall.kinds.model import Draft, Point, Read, Scope, base_point
from recall.kinds.tables.cells import is_placeholder, without_stop
from recall.notes.model import Heading
from recall.quantity import Reading, canonical, read_cell

_MOST_TYPED = 3
_NOT_TYPED = re.compile(r"[\n\d,;:()|/–—]|\. ")
_NUMBERING = re.any_case(r"^(?:\(?\d+(?:\.\d+)*[.)]|(?:Q|Question)\s?\d*\s*[.:)]|\d+(?:\.\d+)+)\s+(?=\S)")
_ANSWER = re.compile(r"^(?:A|Answer)\s?[.:]\s+(?=\S)")
"""What some put before an answer, as `Q:` before a question."""


class Question(Kind):
    """A question that the instructor wrote."""

    name = "question"
    rank = 90
    title = "Questions"
    aspects = ("answer",)

    def lines(self, point: Point) -> Sequence[Line]:
        """Its answer."""
        return [Line(text) for text in point.fields["answer"]]

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """A point of a heading that asks, with its text; a finding where it has none."""
        asked = one_line(heading.text.plain)
        if not asked.endswith(("?", "？")):
            return None
        if not re.search(r"\w", asked):
            return None
        body = _ANSWER.sub("", body.strip())
        if is_placeholder(body):
            return [], [
                finding(
                    "missing-answer",
                    heading.text.place,
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
        """The question as it stands: one figure and a few words are typed, all else is revealed."""
        answer = point.fields["answer"][0]
        bare = without_stop(answer) if "\n" not in answer else answer
        amount = _figure(bare)
        if amount is not None:
            return [
                Draft("answer", point.subject, NumberAnswer((bare,), (canonical(amount),), reading=amount))
            ]
        if len(bare.split()) <= _MOST_TYPED and not _NOT_TYPED.search(bare):
            return [Draft("answer", point.subject, WordsAnswer((bare,)))]
        return [Draft("answer", point.subject, ProseAnswer((answer,)))]


def _figure(answer: str) -> Reading | None:
    """The answer where it is one number with or without its unit, and nothing else."""
    if not re.search(r"\d", answer) or len(answer.split()) > _MOST_TYPED:
        return None
    amount = read_cell(answer)
    if not isinstance(amount, Reading) or amount.shape != "single":
        return None
    span = amount.spans[0]
    ends = span.low, span.high
    plain = not (amount.duration or amount.condition or amount.also or span.approximate)
    return amount if plain and span.value is not None and ends == (None, None) else None
