"""A cell's text into tokens: numbers with their signs, units, comparisons, dashes, brackets.

Every character ends up in a token, so nothing is skipped and no number is taken out of a longer thing.
"""

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.quantity.model import SLIP, NotReadError
from recall.quantity.number import Number, negative, read_number
from recall.quantity.phrases import Phrase, by_first_word
from recall.quantity.things import TWO_UNITS
from recall.quantity.unit import LONGEST, Unit, find_unit, misspelt, thing_counted, unknown_unit


@dataclass(slots=True)
class Token:
    """kind: num, unit, before (M, FL), over, under, min, to, pm, about, slash, comma, semi, and, or, between, from,
    for, on, off, then, times, state, open, close, word, other.

    `over` and `under` compare: is the amount over or under the number; `apart`: the number itself is left out;
    `front`, `back`: may stand before the number, behind it.
    """

    kind: str
    start: int
    end: int
    number: Number | None = None
    unit: Unit | None = None
    apart: bool = False
    front: bool = True
    back: bool = False


_RAW = re.compile(
    r"(?P<num>\.?[0-9]+(?:[ .,][0-9]+)*)"
    r"|(?P<before>(?:FL|Mach|MACH|mach|M)(?= ?\.?[0-9])(?! ?[0-9.]+[A-Za-z]))"
    r"|(?P<sign>[°º˚∘](?: ?[CFKcfk](?![A-Za-z0-9]))?|[%℃℉\"″”]|Δ ?°? ?[CF]?)"
    r"|(?P<word>[A-Za-zΩωμµ](?:[A-Za-z0-9Ωω²³']|[-·⋅](?=[A-Za-z])|\.(?=[A-Za-z]))*(?:\.(?![.0-9]))?)"
    r"|(?P<pm>±|\+ ?/ ?[-−–]|\+[-−–])"
    r"|(?P<compare><=|>=|=<|=>|[<>≤≥≦≧⩽⩾])"
    r"|(?P<dots>\.{2,3}(?!\.)|…)"
    r"|(?P<dash>--(?= )|[-‐‑‒–—―−])"
    r"|(?P<tilde>[~～〜])"
    r"|(?P<about>[≈≃])"
    r"|(?P<foot>['’′](?! ?[0-9]))"
    r"|(?P<plus>\+(?=\.?[0-9]))"
    r"|(?P<mark>[/,;()\[\]&])"
    r"|(?P<other>[^ ])"
)
_MARKS = {
    "/": "slash", ",": "comma", ";": "semi", "&": "and", "(": "open", "[": "open", ")": "close", "]": "close",
}  # fmt: skip
_COMPARE = {
    "<": ("under", True), "<=": ("under", False), "=<": ("under", False), "≤": ("under", False),
    "≦": ("under", False), "⩽": ("under", False), ">": ("over", True), ">=": ("over", False),
    "=>": ("over", False), "≥": ("over", False), "≧": ("over", False), "⩾": ("over", False),
}  # fmt: skip

_SPELT_SIGNS = {"minus": "-", "negative": "-", "plus": "+"}
_AMOUNT_ENDS = frozenset(("num", "unit", "min", "close", "word", "state", "on", "off"))
_UNIT_PARTS = frozenset(("word", "sign"))
_INCHES = ('"', "″", "”")
_SURELY_FEET = 100
"""From this number on the mark `'` says feet; below it could be minutes."""
_Raw = tuple[str, int, int]


def scan(text: str, comma_decimal: bool) -> list[Token]:
    """The tokens of a cell whose blanks are folded. Raises NotReadError where a number or a sign is in doubt."""
    raw: list[_Raw] = [("num", 0, len(text))]
    if not (text.isascii() and text.isdigit()):
        raw = [(found.lastgroup or "", found.start(), found.end()) for found in _RAW.finditer(text)]
    tokens: list[Token] = []
    sign = ""
    last, index = "", 0
    while index < len(raw):
        group, start, end = raw[index]
        index += 1
        if group == "num":
            number = read_number(text[start:end], comma_decimal=comma_decimal)
            if number is None:
                raise _bad_number(text[start:end], comma_decimal)
            token = Token("num", start, end, negative(number) if sign == "-" else number)
            sign = ""
        elif group == "word" and last not in _AMOUNT_ENDS and (spelt := _spelt_sign(text, raw, index - 1)):
            sign, last = spelt, "minus" if spelt == "-" else "plus"
            continue
        elif group in ("word", "sign"):
            token, index = _word(text, raw, index - 1, last)
        elif group == "dash":
            follows = text[end : end + 1]
            digit = follows.isdigit() or (follows == "." and text[end + 1 : end + 2].isdigit())
            if last in _AMOUNT_ENDS:
                signed = next((each.number.value < 0 for each in reversed(tokens) if each.number), False)
                if digit and text[start - 1] == " " and (text[start] == "−" or signed):
                    raise NotReadError(
                        f"`{text[start:end]}` could be a minus or a dash here",
                        "write `-20 to -10` with `to`",
                        SLIP,
                    )
                token = Token("to", start, end)
            elif digit and text[start:end] in "-−":
                sign, last = "-", "minus"
                continue
            else:
                token = Token("other", start, end)
        elif group == "plus" and last not in _AMOUNT_ENDS:
            last = "plus"
            continue
        elif group == "mark":
            token = Token(_MARKS[text[start]], start, end)
        elif group == "compare":
            kind, apart = _COMPARE[text[start:end]]
            token = Token(kind, start, end, apart=apart)
        elif group == "before":
            token = Token("before", start, end, unit=find_unit("FL" if text[start] == "F" else "Mach"))
        elif group == "foot" and last == "num" and (of := tokens[-1].number) and of.value >= _SURELY_FEET:
            token = Token("unit", start, end, unit=find_unit("ft"))
        elif group == "dots":
            token = Token("to", start, end)
        elif group == "tilde":
            token = Token("to" if last in _AMOUNT_ENDS else "about", start, end)
        else:
            token = Token(group if group in ("pm", "about") else "other", start, end)
        tokens.append(token)
        last = token.kind
    return tokens


def _spelt_sign(text: str, raw: list[_Raw], index: int) -> str:
    """The sign that a word right before a number says; empty for any other word."""
    if index + 1 == len(raw) or raw[index + 1][0] != "num":
        return ""
    return _SPELT_SIGNS.get(_plain(text, raw[index]), "")


def _bad_number(run: str, comma_decimal: bool) -> NotReadError:
    shown = run if len(run) <= 40 else run[:39] + "…"
    if comma_decimal and run.count(",") + run.count(".") == 1:
        return NotReadError(
            f"`{shown}` could be a group of thousands or a decimal comma: the file uses decimal commas",
            "write thousands with a blank or nothing between the groups",
            SLIP,
        )
    if " " in run:
        return NotReadError(
            f"`{shown}` is several numbers with nothing between them, or groups that don't fit",
            "say how they belong together: `10 to 20`, `230/215`, `1 234`",
            SLIP,
        )
    return NotReadError(f"`{shown}` is no amount", "write one plain number, such as `1234` or `12.5`", SLIP)


def _word(text: str, raw: list[_Raw], index: int, last: str) -> tuple[Token, int]:
    """The unit, phrase or word that begins at raw[index], and the index behind it."""
    group, start, end = raw[index]
    if text[start:end] in _INCHES:
        raise NotReadError(f"`{text[start:end]}` could be inches or seconds", "write `0.75 in` or `30 s`")
    glued = start > 0 and text[start - 1] != " " and last == "num"
    if (
        group == "word"
        and text[start:end].rstrip(".").casefold() == "min"
        and not _phrase_at(text, raw, index)
    ):
        return Token("min", start, end, back=True), index + 1
    if last == "num":
        found = _unit_at(text, raw, index) or _rate_at(text, raw, index)
        if found is not None:
            unit, behind = found
            return Token("unit", start, raw[behind - 1][2], unit=unit), behind
    phrase = _phrase_at(text, raw, index) if group == "word" else None
    spelling = text[start:end]
    slip = (
        glued and spelling.isalpha() and misspelt(spelling) and find_unit(spelling[1:]) is None
    )  # not `11Opsi`
    if glued and not slip and not (phrase and phrase.back):
        whole = text[max(0, start - 20) : end]
        raise NotReadError(
            f"`{whole.split(' ')[-1]}` is no plain number with a unit that is known",
            "write the number in digits, and a usual unit behind a blank",
            SLIP,
        )
    if phrase is not None:
        behind = index + len(phrase.words)
        end = raw[behind - 1][2]
        token = Token(phrase.kind, start, end, apart=phrase.apart, front=phrase.front, back=phrase.back)
        return token, behind
    if last == "num" and group == "word":
        thing = thing_counted(spelling) or (unknown_unit(spelling) if _unit_like(spelling) else None)
        if thing is not None:
            return Token("unit", start, end, unit=thing), index + 1
    return Token("word" if group == "word" else "other", start, end), index + 1


def _unit_like(spelling: str) -> bool:
    """Whether an unknown word behind a number looks like a unit rather than a word of the language."""
    plain = spelling.rstrip(".")
    low = plain.casefold()
    if low in TWO_UNITS or misspelt(plain):
        return True
    if not 2 <= len(plain) <= 6 or not plain.isalpha():
        return False
    worded = plain.isupper() or plain.istitle()
    return not set(low) & set("aeiouy") or (not plain.islower() and (len(plain) <= 3 or not worded))


def _unit_at(text: str, raw: list[_Raw], index: int) -> tuple[Unit, int] | None:
    start = raw[index][1]
    behind = index + 1
    while behind < len(raw) and behind - index < LONGEST and _in_unit(text, raw, behind):
        behind += 1
    while behind > index:
        unit = find_unit(text[start : raw[behind - 1][2]])
        if unit is not None and not (behind == index + 1 and _rate_at(text, raw, index)):
            return unit, behind
        behind -= 1
    return None


def _rate_at(text: str, raw: list[_Raw], index: int) -> tuple[Unit, int] | None:
    """An unknown unit per another (`widget/min`), taken whole: its first part isn't the unit."""
    behind = index + 3
    if behind > len(raw) or text[raw[index + 1][1]] != "/" or raw[index + 2][0] not in _UNIT_PARTS:
        return None
    start, end = raw[index][1], raw[index + 2][2]
    spelling = text[start:end]
    if " " in spelling or not spelling[-1].isalpha() or any(sign.isdigit() for sign in spelling[:-1]):
        return None
    if (
        text[start - 1] != " " and find_unit(text[start : raw[index][2]]) is None
    ):  # `26Okg/h` has a broken number
        return None
    return unknown_unit(spelling), behind


def _in_unit(text: str, raw: list[_Raw], at: int) -> bool:
    group, start, end = raw[at]
    if group in _UNIT_PARTS:
        return True
    if group != "mark":
        return False
    if text[start] == "/":
        return at + 1 < len(raw) and raw[at + 1][0] in _UNIT_PARTS
    return text[start : start + 3] in ("(g)", "(a)") or text[start - 2 : end] in ("(g)", "(a)")


def _phrase_at(text: str, raw: list[_Raw], index: int) -> Phrase | None:
    for phrase in by_first_word().get(_plain(text, raw[index]), ()):
        behind = index + len(phrase.words)
        if not phrase.front and behind < len(raw) and raw[behind][0] == "num":
            continue  # `above 120 or below 40`
        if behind <= len(raw) and all(
            raw[at][0] == "word" and _plain(text, raw[at]) == word
            for at, word in zip(range(index + 1, behind), phrase.words[1:], strict=True)
        ):
            return phrase
    return None


def _plain(text: str, raw: _Raw) -> str:
    return text[raw[1] : raw[2]].rstrip(".").lower()
