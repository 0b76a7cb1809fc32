"""Text: what is safe to show, and the forms in which words are compared."""

import unicodedata
from collections.abc import Callable, Iterable
from functools import cache, lru_cache
from typing import Any

from recall.base import regex as re

CAUTION = "Uncontrolled copy. Training only, not for use in flight."

_STOPS = " .;,:"
_ARTICLES = frozenset(("the", "a", "an"))
_WORD = re.compile(r"(?:(?<![^\s(])[+\-])?\d[\w.,]*|[^\W_]+(?:'[^\W_]+)?")
_HIDDEN = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u2069\ufeff\ufff9-\ufffb"
    "\U000e0000-\U000e007f\ud800-\udfff]"
)

_LETTERS = re.compile(r"[^\W\d_]{2,}")
_LATIN = re.compile("[A-Za-z]")
_ALIKE = re.compile(
    "[\u0391\u0392\u0395-\u0397\u0399\u039a\u039c\u039d\u039f\u03a1\u03a4\u03a5\u03a7\u03bf\u0400-\u052f]"
)
"""Greek letters that are drawn like Latin ones, and all Cyrillic ones."""

_PARTING = re.compile(rf"(?<=\d)(?:{_HIDDEN.pattern})+(?=\d)")


def has_hidden(text: str) -> bool:
    """Whether control, override or zero-width characters stand in the text."""
    return not text.replace("\n", "").isprintable() and _HIDDEN.search(text) is not None


def hidden_in(text: str) -> list[tuple[int, str]]:
    """Each hidden character with its 0-based index."""
    return [(found.start(), found.group()) for found in _HIDDEN.finditer(text)]


def mixed_in(text: str) -> tuple[str, str] | None:
    """The first word that mixes Latin letters with ones that look like them (Unicode TR 39, confusables), and the
    first of these: a Cyrillic `А` in `AC`. The Greek of units and formulas (`µA`, `ΔT`) doesn't look like them."""
    for found in _LETTERS.finditer(text):
        word = found.group()
        if not word.isascii() and (other := _ALIKE.search(word)) and _LATIN.search(word):
            return word, other.group()
    return None


def parted(text: str) -> str:
    """The text with a mark to be seen for hidden characters between two digits: parted, they pass for no number."""
    return text if text.isprintable() else _PARTING.sub("\ufffd", text)


def without_hidden(text: str) -> str:
    """The text with hidden characters taken out (for keys and answers)."""
    return text if text.isprintable() else _HIDDEN.sub("", text)


def shown(text: str) -> str:
    """The text with hidden characters escaped as `\\u{200B}`: safe on any terminal. Line ends stay."""
    if not has_hidden(text):
        return text
    return _HIDDEN.sub(lambda found: f"\\u{{{ord(found.group()):04X}}}", text)


def one_line(text: str) -> str:
    """Blanks of any kind folded to single spaces, ends trimmed."""
    return " ".join(text.split())


@lru_cache(maxsize=32_768)
def key_form(text: str, *, keep_case: bool = False) -> str:
    """The form in which subjects, conditions and answers in words are compared.

    Blanks folded, hidden characters, trailing stops and a leading article gone, compatibility forms unified
    (NFKC); case folded unless `keep_case` (abbreviations: `Vc` and `vC` are two).
    """
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text)
    text = one_line(without_hidden(text)).rstrip(_STOPS)
    first, _, rest = text.partition(" ")
    if rest and first.casefold() in _ARTICLES:
        text = rest
    return text if keep_case else text.casefold()


def words_of(text: str) -> list[str]:
    """Words for comparing answers: case folded, hyphens and punctuation as blanks, `&` as `and`; a sign right
    before a number stays with it where a blank or nothing stands before the sign."""
    if not text.isascii():
        text = unicodedata.normalize("NFKC", text).replace("\u2212", "-").replace("\u2019", "'")
    folded = without_hidden(text).casefold().replace("&", " and ")
    return [word.rstrip(".,") for word in _WORD.findall(folded)]


def word_set(text: str) -> frozenset[str]:
    """A table of words, written between blanks."""
    return frozenset(text.split())


def count(number: int, one: str, many: str = "") -> str:
    """A number with its noun, in the plural unless there is one. many: where it isn't just an `s` more."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def percent(share: float, places: int = 0) -> str:
    """A share as it is written everywhere: a blank before the sign. share: 1 for all; places: after the point."""
    return f"{100 * share:.{places}f} %"


@cache
def _canonical() -> Callable[[object], str]:
    import json

    return json.JSONEncoder(ensure_ascii=False, sort_keys=True, separators=(",", ":")).encode


def fields_of(thing: object, *names: str) -> dict[str, Any]:
    """Attributes by their names, in that order: a row that is written out, tuples as lists."""
    found = {name: getattr(thing, name) for name in names}
    return {name: list(value) if isinstance(value, tuple) else value for name, value in found.items()}


def canonical(plain: object) -> str:
    """Plain data as one line of JSON, the same text for the same data."""
    return _canonical()(plain)


def joined(parts: Iterable[str]) -> str:
    """A tuple of texts as one, length-prefixed, so that no two tuples run together."""
    return "".join([f"{len(part)}:{part}" for part in parts])


@cache
def _sha256() -> Any:
    from hashlib import sha256  # a start pays for none that it doesn't need

    return sha256


def hashed(text: str) -> str:
    """20 hexadecimal digits for a text."""
    digits: str = _sha256()(text.encode()).hexdigest()
    return digits[:20]


def digest(parts: Iterable[str]) -> str:
    """20 hexadecimal digits for a tuple of texts."""
    return hashed(joined(parts))


def one_slip(one: str, two: str) -> bool:
    """Whether a letter left out, added or wrong, or two neighbours swapped, makes one word of the other."""
    if abs(len(one) - len(two)) > 1 or one == two:
        return False
    start = 0
    while start < min(len(one), len(two)) and one[start] == two[start]:
        start += 1
    a, b = one[start:], two[start:]
    if len(a) == len(b):
        return a[1:] == b[1:] or (len(a) > 1 and a[0] == b[1] and a[1] == b[0] and a[2:] == b[2:])
    return a[1:] == b if len(a) > len(b) else a == b[1:]
