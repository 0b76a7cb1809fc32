"""A text as marking sees it: words in one spelling, numbers with the units that may stand behind them."""

import re
import unicodedata
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

from recall.answers.spelt import with_digits
from recall.answers.vocabulary import ARTICLES, spelling
from recall.base.text import without_hidden
from recall.quantity import Unit, find_unit

_LEAST = (
    r">=|≥|⩾|at least|(?:not|no|never) (?:less|lower|smaller|fewer) than|(?:not|never) (?:below|under)|"
    r"min(?:imum)?(?: of)?"
)
_OVER = r">|\b(?:above|over|exceed(?:ing|s)|beyond|(?:more|greater|higher) than|in excess of)"
_UNDER = r"<|\b(?:below|under|(?:less|lower|smaller|fewer) than)"
_MOST = (
    r"<=|=<|≤|⩽|at most|(?:not|no|never) (?:more|higher|greater) than|(?:not|never) (?:above|over|exceeding)|up to|"
    r"max(?:imum)?(?: of)?"
)
_NUMBER = r"(?=\s*[+-]?\.?\d)"
_SIGNS = (
    (re.compile(r"[-=]+>|<-+(?![-\d.])|[→←⇒⇐]"), " "),
    (re.compile(r"±|\+ ?/ ?-|\bplus or minus\b", re.I), " plus minus "),
    (re.compile(rf"(?:\b|(?<=\W))(?:{_LEAST}){_NUMBER}", re.I), " ≥ "),
    (re.compile(rf"(?:\b|(?<=\W))(?:{_MOST}){_NUMBER}", re.I), " ≤ "),
    (re.compile(rf"(?:{_OVER}){_NUMBER}", re.I), " > "),
    (re.compile(rf"(?:{_UNDER}){_NUMBER}", re.I), " < "),
    (re.compile(r"≠|!="), " not equal "),
    (re.compile(r"(?:\b(?:no|nr|num|number)\.?|#|№)\s*(?=\d)", re.I), " № "),
    (re.compile(r"\b(?:minus|negative) (?=\.?\d)", re.I), " -"),
    (re.compile(r"&"), " and "),
)
"""Signs and words for them, brought into one form; before a number only, where a word could say something else."""
_TOKEN = re.compile(
    r"(?P<number>(?:(?<![\w)])[+-])?(?:\d{1,3}(?:,\d{3})+(?![\d,])(?:\.\d+)?|\d+(?:[.,]\d+)*|\.\d+))"
    r"|(?P<word>[^\W\d_](?:[^\W_]|'(?=[^\W_]))*)|(?P<sign>[<>≤≥№%°])"
)
_DIGITS = re.compile(r"[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:[.,]\d+)?")
_NOT = {"won't": "will", "can't": "can", "shan't": "shall"}


@dataclass(slots=True)
class Tokens:
    """words: in order, in one spelling; numbers: by place, as decimals; units: by place of a number, what may stand
    behind it and where that ends; counts: places of numbers that name a thing (`No 1`); letters: places of an `a`
    that is no article; written: words that are spelt otherwise than they were written, as they were."""

    words: list[str] = field(default_factory=list)
    numbers: dict[int, Decimal] = field(default_factory=dict)
    units: dict[int, list[tuple[int, Unit, int]]] = field(default_factory=dict)
    counts: set[int] = field(default_factory=set)
    letters: set[int] = field(default_factory=set)
    written: dict[str, str] = field(default_factory=dict)

    def said(self, word: str) -> str:
        """One of the words as it was written."""
        return self.written.get(word, word)


_MOST_PARTS = 6


@lru_cache(maxsize=8192)
def tokens_of(text: str) -> Tokens:
    """Read a text, typed or right; what comes back is shared, and never changed."""
    text = (
        unicodedata.normalize("NFKC", without_hidden(text))
        .replace("−", "-")
        .replace("’", "'")
        .replace("`", "'")
    )
    text = with_digits(text)
    for sign, said in _SIGNS:
        text = sign.sub(said, text)
    found = list(_TOKEN.finditer(text))
    shouting = text.isupper()
    into = Tokens()
    places: dict[int, int] = {}
    counted = False
    for at, token in enumerate(found):
        said = token.group()
        places[at] = len(into.words)
        if said == "№":
            counted = True
            continue
        if token.lastgroup == "number":
            value = number_of(said)
            if value is not None:
                into.numbers[len(into.words)] = value
                if counted:
                    into.counts.add(len(into.words))
            into.words.append(said)
        elif token.lastgroup == "word":
            folded = said.casefold()
            if folded == "a" and _is_letter(text, token, shouting):
                into.letters.add(len(into.words))
            if folded.endswith("n't"):
                into.words += (_NOT.get(folded, folded[:-3]), "not")
            else:
                word = spelling(folded)
                into.words.append(word)
                if word != folded:
                    into.written[word] = folded
        else:
            into.words.append(said)
        counted = False
    places[len(found)] = len(into.words)
    for at, token in enumerate(found):
        place = places[at]
        if place in into.numbers and token.lastgroup == "number":
            into.units[place] = _units(text, found, at, places)
    return into


def number_of(said: str) -> Decimal | None:
    """The value of a written number, decimal commas read; None where its groups don't fit."""
    if not _DIGITS.fullmatch(said):
        return None
    if re.fullmatch(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?", said):
        said = said.replace(",", "")
    return Decimal(said.replace(",", "."))


def _is_letter(text: str, token: re.Match[str], shouting: bool) -> bool:
    """Whether an `a` is a letter (`bus A`, `A.C.`): no word follows behind a blank, or it is a capital within."""
    behind = text[token.end() : token.end() + 2]
    follows = behind[:1].isspace() and behind[1:].isalpha()
    return not follows or (token.group() == "A" and not shouting and bool(text[: token.start()].strip()))


def _units(
    text: str, found: list[re.Match[str]], at: int, places: dict[int, int]
) -> list[tuple[int, Unit, int]]:
    """What may be the unit behind a number: place of its end, unit, signs that it takes; the longest first."""
    units = []
    for last in range(min(len(found) - 1, at + _MOST_PARTS), at, -1):
        said = text[found[at].end() : found[last].end()].strip(" -")
        unit = find_unit(said) or find_unit(said.lower()) or find_unit(said.upper())
        if unit is not None:
            units.append((places[last + 1], unit, len(said)))
    return units


def is_passed(tokens: Tokens, at: int, small: frozenset[str] | set[str]) -> bool:
    """Whether a word counts no more than a blank."""
    word = tokens.words[at]
    if word in ARTICLES:
        return at not in tokens.letters and word in small
    return word in small or word in "%°"
