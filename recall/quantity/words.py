"""Cells without an amount: placeholders, text on purpose, and what is neither."""

import unicodedata
from functools import lru_cache

from recall.base import regex as re
from recall.base.text import shown as safe
from recall.base.text import word_set
from recall.quantity.model import SLIP, Rule, Unreadable, Words, excerpt
from recall.quantity.things import DASHES, left_open
from recall.quantity.unit import find_unit

_DIGIT = re.compile(r"[0-9]")
_SEE = re.any_case(
    r"(?:see|refer to|ref\.?|cf\.?|as (?:shown|listed|given) (?:in|below|above))\b",
    holds=(" see", " ref", " cf", " as "),
)
_ALONE = word_set(
    "none unlimited unrestricted continuous indefinite indefinitely nil any prohibited forbidden limitless"
)
_FILLERS = word_set(
    "max min maximum minimum typ typical normal nominal approx ≤ ≥ < > ± ~ x xx xxx nn nnn tbd tbc n/a nil to"
)
_LIKE_DIGITS = frozenset(("O", "o", "l", "I", "S", "B", "OO", "Oo", "oo", "lO", "IO", "SO"))
"""Letters that pass for digits."""
_COUNTS = word_set("""
    one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen
    eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety hundred thousand
""")
_COMPARED = word_set(
    "max min maximum minimum at most least up to not more less than above below over under about"
)


def has_digit(text: str) -> bool:
    """Whether any sign that counts stands in the text: digits of any script, superscripts, ½, Ⅳ."""
    return _DIGIT.search(text) is not None or (
        not text.isascii() and any(unicodedata.category(sign)[0] == "N" for sign in text)
    )


def placeholder(text: str) -> bool:
    """Whether the text (blanks folded) stands for an answer that isn't there: `-`, `TBD`, `see table below`, `kt`."""
    if _DIGIT.search(text):
        return _SEE.match(text) is not None
    low = text.casefold().strip("()[] ").rstrip(".:! ")
    if left_open(text) or _SEE.match(low):
        return True
    return len(text) <= 60 and not has_digit(text) and _unit_alone(text.strip("()[] "))


@lru_cache(maxsize=1024)
def _unit_alone(text: str) -> bool:
    if find_unit(text) is not None:
        return True
    words = [word.strip(DASHES + "_.…()[],/?#* ") for word in text.split()]
    rest = " ".join(word for word in words if word and word.casefold() not in _FILLERS)
    return not rest or (
        rest != text and (find_unit(rest) is not None or all(find_unit(word) for word in rest.split()))
    )


_NAME = re.compile(r"([A-Za-z]+)-?\d[\w./-]*|\d+-[A-Za-z]+\d*[\w-]*")


def is_name(text: str) -> bool:
    """Whether digits stand in a text as parts of names alone: `Jet A, Jet A-1`, `6061-T6 aluminum`. One word may be
    a slip of an amount."""
    words = [word.strip(",.;:()") for word in text.split()]
    for at, word in enumerate(words):
        if not has_digit(word):
            continue
        found, behind = _NAME.fullmatch(word), words[at + 1] if at + 1 < len(words) else ""
        if found is None or found[1] in _LIKE_DIGITS or (found[1] or "").casefold() in _FILLERS:
            return False
        if behind and find_unit(behind) is not None:
            return False
    return len(words) > 1


def words_or_not(text: str) -> Words | Unreadable:
    """A cell without any digit that is no placeholder: two words or more are an answer in words."""
    said = [word for word in text.split() if any(sign.isalpha() for sign in word)]
    rule: Rule = "unread-amount"
    if len(said) == 2 and said[0] in _LIKE_DIGITS and find_unit(said[1]) is not None:
        why, help, rule = "has a letter where a number belongs", "write the digit", SLIP
    elif _spelt_amount(said):
        why = "spells its number: a typed number couldn't be compared with it"
        help = "write the number in digits, as `15 kt`"
    elif len(said) >= 2 or text.casefold().rstrip(".! ") in _ALONE:
        return Words(text)
    else:
        why, help = "is no amount", "write the number with its unit, or say it in at least two words"
    return Unreadable(text, rule, safe(f"{excerpt(text)} {why}"), help)


def _spelt_amount(said: list[str]) -> bool:
    """Whether words are a spelt number with its unit and nothing else but a comparison: `at most fifteen knots`."""
    low = [part for word in said for part in word.casefold().strip("()., ").split("-")]
    low = low[next((at for at, word in enumerate(low) if word not in _COMPARED), len(low)) :]
    at = next((at for at, word in enumerate(low) if word not in _COUNTS and word != "and"), len(low))
    return 0 < at < len(low) and low[0] != "and" and find_unit(" ".join(low[at:])) is not None
