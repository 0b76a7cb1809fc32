"""A text as it is compared: words in one spelling, numbers with the units that may stand behind them."""

import unicodedata
from collections.abc import Collection, Iterator
from decimal import Decimal
from functools import lru_cache

from recall.answers.rewriting import rewriting
from recall.answers.spelt import with_digits
from recall.answers.vocabulary import ARTICLES, spelling
from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.text import without_hidden
from recall.quantity import Unit, find_unit

_LEAST = (
    r">=|≥|⩾|at least|(?:not|no|never) (?:less|lower|smaller|fewer) than|(?:not|never) (?:below|under)|"
    r"min(?:imum)?(?: of)?"
)
_MOST = (
    r"<=|=<|≤|⩽|at most|(?:not|no|never) (?:more|higher|greater) than|(?:not|never) (?:above|over|exceeding)|up to|"
    r"max(?:imum)?(?: of)?"
)
_OVER = r">|\b(?:above|over|exceed(?:ing|s)|beyond|(?:more|greater|higher|hotter|warmer) than|in excess of)"
_UNDER = r"<|\b(?:below|under|(?:less|lower|smaller|fewer|colder|cooler) than)"
_NUMBER = r"(?=\s*[+-]?\.?\d)"
_COUNTED = r"(?:\b(?:no|nr|num|number)\.?|#|№)\s*(?=\d)"
"""What says that a number names a thing: `No 1`."""
_signs = rewriting(
    rf"""
    \bt/o\b => ~takeoff~
    \bw/o\b => ~without~
    \bw/ => ~with~
    \bthere(?:'s| is| are| was| will be)\b => ~
    \b(?:fails?|unable|not able|refuses?|impossible) to\b => ~not~
    \bat all\b => ~
    \b(?:(?:has|have) (?:come|gone)|comes?|goes|turns)\s+(?=(?:on|off|out|up|down)\b) => ~
    \b(?:comes?|goes|turns)\s+(?=(?:red|amber|yellow|green|blue|white)\b) => ~
    \b(?:stays?|remains?|still|keeps?|kept|leave)\s+(?=(?:on|off|open|closed|up|down)\b) => ~
    \b(?:properly|correctly|completely|entirely|together)\b => ~
    \b(?:un|not )limited\b|\b(?:no|without) limits?\b => ~unlimited~
    \b(?:prohibited|forbidden)\b => ~not allowed~
    \bfor (\w{{3,}})ing(?=\s*(?:$|[.,;])) => ~to \1
    [-=]+>|<-+(?![-\d.])|[→←⇒⇐] => ~
    ±|\+ ?/ ?-|\bplus or minus\b => ~plus minus~
    (?:\b|(?<=\W))(?:{_LEAST}){_NUMBER} => ~≥~
    (?:\b|(?<=\W))(?:{_MOST}){_NUMBER} => ~≤~
    (?:{_OVER}){_NUMBER} => ~>~
    (?:{_UNDER}){_NUMBER} => ~<~
    ≠|!= => ~not equal~
    {_COUNTED} => ~
    \b(?:minus|negative) (?=\.?\d) => ~-
    & => ~and~
"""
)
"""Signs and words for them, brought into one form; before a number only, where a word could say something else."""
_TOKEN = re.compile(
    r"(?P<number>(?:(?<![\w)])[+-])?(?:\d{1,3}(?:,\d{3})+(?![\d,])(?:\.\d+)?|\d{1,3}(?: \d{3})+(?![\w.,])|"
    r"\d+(?:[.,]\d+)*|\.\d+))"
    r"|(?P<word>[^\W\d_](?:[^\W_]|'(?=[^\W_]))*)|(?P<sign>[<>≤≥%°])"
)
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_DIGITS = re.compile(r"[+-]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:[.,]\d+)?")
_VERBS = "do does did could would is are was were has have had should must need"
_NOT = {said: verb for verb in _VERBS.split() for said in (f"{verb}n't", f"{verb}nt")}
_NOT |= {"can't": "can", "cant": "can", "cannot": "can", "won't": "will", "wont": "will", "shan't": "shall"}
"""The verb of what denies in one word, with its apostrophe or without."""
_MOST_PARTS = 6


@dataclass(slots=True)
class Tokens:
    """words: in order, in one spelling; numbers: by place, as decimals; behind: by place of a number, the text behind
    it, to where each of the next words ends; letters: places of an `a` that is no article; written: words that are
    spelt otherwise than they were written, as they were."""

    words: list[str] = field(default_factory=list)
    numbers: dict[int, Decimal] = field(default_factory=dict)
    behind: dict[int, list[tuple[int, str]]] = field(default_factory=dict)
    letters: set[int] = field(default_factory=set)
    written: dict[str, str] = field(default_factory=dict)

    def said(self, word: str) -> str:
        """One of the words as it was written."""
        return self.written.get(word, word)

    def units(self, at: int) -> Iterator[tuple[int, Unit, int]]:
        """What may be the unit behind a number: place of its end, unit, signs that it takes; the longest first."""
        for end, said in self.behind[at]:
            unit = find_unit(said) or find_unit(said.lower()) or find_unit(said.upper())
            if unit is not None:
                yield end, unit, len(said)


@lru_cache(maxsize=8192)
def tokens_of(text: str) -> Tokens:
    """Read a text, typed or right; what comes back is shared, and never changed."""
    text = unicodedata.normalize("NFKC", without_hidden(text))
    text = with_digits(text.replace("−", "-").replace("’", "'").replace("`", "'"))
    text = _signs(text)
    found, into, places = list(_TOKEN.finditer(text)), Tokens(), list[int]()
    shouting = text.isupper()
    for token in found:
        said = token.group()
        place = len(into.words)
        places.append(place)
        if token.lastgroup != "word":
            value = number_of(said) if token.lastgroup == "number" else None
            if value is not None:
                into.numbers[place] = value
            into.words.append(said)
            continue
        folded = said.casefold()
        if folded == "a" and _is_letter(text, token, shouting):
            into.letters.add(place)
        if folded in _NOT:
            into.words += (_NOT[folded], "not")
            continue
        folded = folded.removesuffix("'s")
        into.words.append(spelling(folded))
        if into.words[-1] != folded:
            into.written[into.words[-1]] = folded
    places.append(len(into.words))
    for at, token in enumerate(found):
        if places[at] in into.numbers:
            lasts = range(min(len(found) - 1, at + _MOST_PARTS), at, -1)
            into.behind[places[at]] = [
                (places[last + 1], text[token.end() : found[last].end()].strip(" -")) for last in lasts
            ]
    return into


def words_said(text: str) -> list[str]:
    """The words of a note's text as answers are compared, articles aside where there are others."""
    tokens = tokens_of(text)
    kept = [word for at, word in enumerate(tokens.words) if word not in ARTICLES or at in tokens.letters]
    return kept or tokens.words


def number_of(said: str) -> Decimal | None:
    """The value of a written number, decimal commas read; None where its groups don't fit."""
    said = said.replace(" ", "")
    if not _DIGITS.fullmatch(said):
        return None
    return Decimal((said.replace(",", "") if _GROUPED.fullmatch(said) else said).replace(",", "."))


def _is_letter(text: str, token: re.Match[str], shouting: bool) -> bool:
    """Whether an `a` is a letter (`bus A`, `A.C.`): no word follows behind a blank, or it is a capital within."""
    behind = text[token.end() : token.end() + 2]
    follows = behind[:1].isspace() and behind[1:].isalpha()
    return not follows or (token.group() == "A" and not shouting and bool(text[: token.start()].strip()))


def is_passed(tokens: Tokens, at: int, small: Collection[str]) -> bool:
    """Whether a word counts no more than a blank."""
    word = tokens.words[at]
    if word == "to" and at - 1 in tokens.numbers and at + 1 in tokens.numbers:
        return False  # `10 to 20`
    return word in "%°" or (word in small and not (word in ARTICLES and at in tokens.letters))
