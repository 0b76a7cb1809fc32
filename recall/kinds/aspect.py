"""What is asked of a point: each aspect with its sentences and its form of answer, as data."""

from collections.abc import Callable, Iterable, Mapping

from recall.answers import Answer, MembersAnswer, ProseAnswer, WordsAnswer, in_words
from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.kinds.english import lower
from recall.kinds.model import Draft, Point
from recall.kinds.steps.telling import is_order

Texts = tuple[str, ...]
Form = Callable[[Texts], Answer]
"""Makes an answer of the words that are right."""


_MEANS = ("mitigation", "countermeasure")
"""Headers of what helps, which needn't be an order to anybody."""
TO_DO = (
    ("{it} what do you do?", "{it} what is your action?", "{it} what action do you take?"),
    ("{it} which drill is called for?", "{it} which drill do you carry out?"),
    *((f"{{it}} what is the {means}?", f"{{it}} what {means} is there?") for means in _MEANS),
)
"""The ways to ask for an action."""
_DRILL = re.any_case(r".*\b(?:items|drill|check-?list|procedure)")


def to_do(point: Point) -> str:
    """What is asked of a point with an action: an order is what one does, a drill has its name."""
    actions, head = point.fields.get("action", ()), point.wording.get("action head", "")
    if head in _MEANS and not any(map(is_order, actions)):
        return f"what is the {head}"
    return "which drill is called for" if any(map(_DRILL.fullmatch, actions)) else "what do you do"


def prose(texts: Texts) -> Answer:
    """An answer that is revealed, and marked by the person."""
    return ProseAnswer(texts)


def typed(most: int, fewest: int = 1) -> Form:
    """An answer that is typed where it has `fewest` parts or more, each of `most` words or fewer; else prose."""
    return lambda texts: in_words(texts, most, fewest=fewest)


def names(texts: Texts) -> Answer:
    """Names of things, typed however long they are."""
    return MembersAnswer(texts) if len(texts) > 1 else WordsAnswer(texts)


@dataclass(frozen=True, slots=True)
class Part:
    """A part of a point that is asked by itself. key: by which its card is known; of: what its own words are."""

    key: str
    of: Point
    words: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Aspect:
    """One side of a point.

    answer: the role whose words are right; empty: the subject. one, many: the sentences that ask for one answer, and
    for several; each `{word}` is one of the kind's (`Kind.words`), of the part's, or `{n}`, how many are right; of a
    point that was read from a sentence, that one is asked, with its gap. form: makes the answer. unless: holds for
    points that aren't asked so. parts: what is asked one by one; unless given, the point is asked as a whole. asks:
    how a question is put that stands in the note, before its answer.
    """

    name: str
    answer: str
    one: str
    many: str = ""
    form: Form = prose
    unless: Callable[[Point], bool] | None = None
    parts: Callable[[Point], Iterable[Part]] | None = None
    asks: str = "{named}: {asked}"

    def drafts(self, point: Point, words: Mapping[str, str]) -> Iterable[Draft]:
        """Its questions about a point. words: of the kind, for its sentences."""
        if self.unless is not None and self.unless(point):
            return
        if self.parts is None:
            if right := self.right(point):
                yield Draft(self.name, self.sentence(point, words, right), self.form(right))
            return
        for part in self.parts(point):
            if right := self.right(part.of):
                yield self.part(part, words, right)

    def part(self, part: Part, words: Mapping[str, str], right: Texts) -> Draft:
        """The question about one part."""
        of = part.of
        asked = self.sentence(of, {**words, **part.words}, right)
        return Draft(self.name, asked, self.form(right), part.key, of.place.line, of.critical)

    def right(self, point: Point) -> Texts:
        """What is right of a point or of a part of one; nothing where it doesn't say."""
        return point.fields.get(self.answer, ()) if self.answer else (point.subject,)

    def sentence(self, point: Point, words: Mapping[str, str], right: Texts) -> str:
        """The question."""
        several = len(right) > 1
        if stem := point.wording.get(self.answer if self.answer else "back"):
            return f"Complete{', with all conditions' if several else ''}: “{stem}”"
        if asked := point.wording.get(f"{self.answer} asked"):
            return self.asks.format_map({**words, "asked": lower(asked)})
        sentence = self.many if several and self.many else self.one
        return sentence.format_map({**words, "n": str(len(right))})
