"""The words of a text as notes are compared, case and punctuation aside."""

import re

from recall.answers.vocabulary import ARTICLES
from recall.base.text import words_of

_SIGNS = (
    (re.compile(r"[-=]+>|<-+(?![-\d.])|[→←⇒⇐]"), " "),
    (re.compile(r"±|\+/?-"), " plus minus "),
    (re.compile(r">=|≥|⩾"), " at least "),
    (re.compile(r"<=|=<|≤|⩽"), " at most "),
    (re.compile(r">|\b(?:above|over|exceeding|greater than|higher than)(?=\s+[+-]?\d)", re.I), " more than "),
    (re.compile(r"<|\b(?:below|under|lower than|smaller than)(?=\s+[+-]?\d)", re.I), " less than "),
    (re.compile(r"≠|!="), " not equal "),
    (re.compile(r"(?<=\d)\s*(?:per ?cent|deg(?:rees?)?)\b", re.I), " "),
)
"""Signs that turn a meaning round are words, and words before a number are those; arrows are none. The unit signs `%`
and `°` count no more than blanks."""
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_LETTER = re.compile(r"(?<![^\W_])(?<!')a(?!['’]?[^\W_])", re.IGNORECASE)
_SAME_SPELLING = {"manoeuvre": "maneuver", "manoeuvring": "maneuvering", "grey": "gray", "disc": "disk"}
_NOT = {"won't": "will", "can't": "can", "shan't": "shall"}


def said_words(text: str) -> list[str]:
    """All words of a text, comparisons among them (`>` as `more than`), `n't` as `not`, numbers ungrouped."""
    for sign, words in _SIGNS:
        text = sign.sub(words, text)
    found: list[str] = []
    for word in words_of(text):
        if word.endswith("n't"):
            found += (_NOT.get(word, word[:-3]), "not")
        else:
            found.append(word.replace(",", "") if _GROUPED.fullmatch(word) else word)
    return [_SAME_SPELLING.get(word, word) for word in found]


def answer_words(text: str, *, every_a: bool = False) -> list[str]:
    """Words of an answer, articles aside where there are others. An `a` is a letter (`bus A`, `A.C.`) unless another
    word follows behind a blank, and a capital within the text always is. every_a: no `a` is taken for an article."""
    text = text.strip()
    words = said_words(text)
    letters = [
        (found.group() == "A" and bool(text[: found.start()].strip()))
        or not text[found.end() : found.end() + 1].isspace()
        for found in _LETTER.finditer(text)
    ]
    if every_a or len(letters) != words.count("a"):
        letters = [every_a] * words.count("a")
    is_letter = iter(letters)
    kept = [word for word in words if not (word in ARTICLES and not (word == "a" and next(is_letter)))]
    return kept or words
