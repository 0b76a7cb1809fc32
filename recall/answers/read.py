"""Answers out of JSON, every shape that was ever written."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from recall.answers.data import reading_from
from recall.answers.members import MembersAnswer
from recall.answers.model import Answer
from recall.answers.number import NumberAnswer
from recall.answers.phrase import TermAnswer, WordsAnswer
from recall.answers.prose import ProseAnswer
from recall.answers.reading import ReadingAnswer
from recall.answers.recital import RecitalAnswer

Data = Mapping[str, Any]


def answer_from(form: str, texts: Sequence[str], data: Data, *, steps: bool = False) -> Answer:
    """The answer of that form, from what `data` of it gave. steps: its texts are steps in order, where they are
    prose, whose data doesn't say."""
    read = FORMS[form](tuple(texts), data)
    return replace(read, steps=True) if steps and isinstance(read, ProseAnswer) else read


def _number(texts: tuple[str, ...], data: Data) -> NumberAnswer:
    return NumberAnswer(texts, reading=reading_from(data["right"]), time=data.get("time", ""))


def _members(texts: tuple[str, ...], data: Data) -> MembersAnswer:
    rungs = data.get("numbers", {})
    return MembersAnswer(
        texts,
        rungs=tuple(_rung(text, rungs[text]) for text in texts if rungs),
        steps=data.get("ordered", False),
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
