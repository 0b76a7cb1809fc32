"""Answers by their form: out of JSON, every shape that was ever written, and out of texts, where what is short is
typed and what isn't is revealed."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from recall.answers.data import reading_from
from recall.answers.members import MembersAnswer, RecitalAnswer
from recall.answers.model import Answer
from recall.answers.number import NumberAnswer
from recall.answers.phrase import ProseAnswer, TermAnswer, WordsAnswer
from recall.answers.reading import ReadingAnswer
from recall.base.dataclass import replace

Data = Mapping[str, Any]


def answer_from(form: str, texts: Sequence[str], data: Data, *, steps: bool = False) -> Answer:
    """The answer of that form, from what `data` of it gave. steps: its texts are steps in order, where they are
    prose, whose data doesn't say."""
    read = FORMS[form](tuple(texts), data)
    return replace(read, ordered=True) if steps and isinstance(read, ProseAnswer) else read


def _number(texts: tuple[str, ...], data: Data) -> NumberAnswer:
    return NumberAnswer(texts, reading=reading_from(data["right"]), time=data.get("time", ""))


def _members(texts: tuple[str, ...], data: Data) -> MembersAnswer:
    rungs = data.get("numbers", {})
    return MembersAnswer(
        texts,
        rungs=tuple(_rung(text, rungs[text]) for text in texts if rungs),
        ordered=data.get("ordered", False),
    )


def _rung(text: str, data: Data) -> NumberAnswer | str:
    if "words" in data:
        return f"{data['words']} {data.get('time', '')}".strip()
    return _number((text,), data)


FORMS: Mapping[str, Callable[[tuple[str, ...], Data], Answer]] = {
    "number": _number,
    "words": lambda texts, data: WordsAnswer(texts, also=tuple(data.get("also", ()))),
    "term": lambda texts, data: TermAnswer(
        texts, also=tuple(data.get("also", ())), others=tuple(data.get("not", ()))
    ),
    "set": _members,
    "exact": lambda texts, data: RecitalAnswer(texts),
    "prose": lambda texts, data: ProseAnswer(texts),
    "reading": lambda texts, data: ReadingAnswer(
        texts, facts={name: value for name, value in data.items() if name != "near"}
    ),
}
"""A reader a form, by its name in JSON."""

_MOST_STEPS = 9


def in_words(texts: tuple[str, ...], most: int, *, fewest: int = 1) -> Answer:
    """A phrase or a set of them, each of `most` words or fewer, where there are `fewest` or more; prose otherwise."""
    if len(texts) < fewest or not _short(texts, most):
        return ProseAnswer(texts)
    return MembersAnswer(texts) if len(texts) > 1 else WordsAnswer(texts)


def in_order(steps: tuple[str, ...], most: int) -> Answer:
    """Steps to recite, marked where they are few and short."""
    if len(steps) <= _MOST_STEPS and _short(steps, most):
        return MembersAnswer(steps, steps, ordered=True)
    return ProseAnswer(steps, steps, ordered=True)


def _short(texts: Sequence[str], most: int) -> bool:
    return all(len(text.split()) <= most and "\n" not in text for text in texts)
