"""Answers: each holds what is right, marks what is typed, and writes and reads itself as JSON."""

from recall.answers.data import reading_data, reading_from, span_data, span_from, unit_named, with_name
from recall.answers.members import MembersAnswer, RecitalAnswer
from recall.answers.model import NO_LORE, NORMAL_FORM, NOT_KNOWN, Answer, Drawn, Lore, Part, Verdict
from recall.answers.number import NumberAnswer
from recall.answers.phrase import ProseAnswer, TermAnswer, WordsAnswer
from recall.answers.read import FORMS, answer_from, in_order, in_words
from recall.answers.reading import ReadingAnswer

__all__ = [
    "FORMS",
    "NORMAL_FORM",
    "NOT_KNOWN",
    "NO_LORE",
    "Answer",
    "Drawn",
    "Lore",
    "MembersAnswer",
    "NumberAnswer",
    "Part",
    "ProseAnswer",
    "ReadingAnswer",
    "RecitalAnswer",
    "TermAnswer",
    "Verdict",
    "WordsAnswer",
    "answer_from",
    "in_order",
    "in_words",
    "reading_data",
    "reading_from",
    "span_data",
    "span_from",
    "unit_named",
    "with_name",
]
