"""A cell's text into tokens: numbers with their signs, units, comparisons, dashes, brackets.

Every character ends up in a token, so nothing is skipped and no number is taken out of a longer thing.
"""

import re
from dataclasses import dataclass

from recall.quantity.model import NotReadError
from recall.quantity.number import Number, negative, read_number
from recall.quantity.unit import LONGEST, Unit, find_unit, misspelt, thing_counted, unknown_unit
from recall.quantity.units_table import TWO_UNITS


@dataclass(slots=True)
class Token:
    """kind: num, unit, before (M, FL), over, under, min, to, pm, about, slash, comma, semi, and, between, from, for,
    on, off, then, times, state, open, close, word, other.

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
    r"|(?P<word>[A-Za-zΩω](?:[A-Za-z0-9Ωω']|[-·⋅](?=[A-Za-z])|\.(?=[A-Za-z]))*(?:\.(?![.0-9]))?)"
    r"|(?P<pm>±|\+ ?/ ?[-−–]|\+[-−–])"
    r"|(?P<compare><=|>=|=<|=>|[<>≤≥≦≧⩽⩾])"
    r"|(?P<dots>\.{2,3}(?!\.)|…)"
    r"|(?P<dash>--(?= )|[-‐‑‒–—―−])"
    r"|(?P<tilde>[~～〜≈])"
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

# kind, number left out, spellings; front or back of the number as each line's mark says: < front, > behind, = either.
_PHRASES = (
    (
        "under",
        False,
        "=max =maximum <max_of <maximum_of =at_most <up_to <up_to_and_including <within <limited_to",
    ),
    ("under", False, "<not_above <not_over <not_more_than <no_more_than <not_greater_than <no_greater_than"),
    (
        "under",
        False,
        "<not_higher_than <no_higher_than <not_exceeding <not_to_exceed <not_exceed <do_not_exceed",
    ),
    ("under", False, "<must_not_exceed <shall_not_exceed <should_not_exceed <may_not_exceed <never_exceed"),
    ("under", False, "<never_above <never_more_than <not_longer_than <no_longer_than <less_than_or_equal_to"),
    ("under", False, "<equal_to_or_less_than <at_or_below >or_less >or_below >or_lower >or_under >and_below"),
    ("under", False, ">or_fewer >and_less <does_not_exceed <to_not_exceed"),
    (
        "over",
        False,
        "=minimum <min_of <minimum_of =at_least <not_below <not_under <not_less_than <no_less_than",
    ),
    ("over", False, "<not_lower_than <no_lower_than <not_fewer_than <greater_than_or_equal_to <never_below"),
    (
        "over",
        False,
        "<equal_to_or_greater_than <never_less_than <at_or_above >or_more >or_above >or_higher >or_greater",
    ),
    ("over", False, ">and_above >and_up >and_more >or_over >or_longer <must_not_be_below"),
    ("under", True, "<less_than <below <under <lower_than <fewer_than <shorter_than"),
    (
        "over",
        True,
        "<more_than <above <over <greater_than <higher_than <exceeding <exceeds <exceed <beyond <longer_than",
    ),
    ("about", False, "<about <approximately <approx <around <circa <ca <roughly <nominally"),
    ("to", False, "<to"),
    ("and", False, "<and"),
    ("between", False, "<between"),
    ("from", False, "<from"),
    ("for", False, "<for"),
    ("on", False, "<on"),
    ("off", False, "<off"),
    ("then", False, "<then <followed_by"),
    ("times", False, "<twice <once <times <three_times"),
    (
        "state",
        False,
        "<continuous <continuously <cont <transient <momentary <momentarily <intermittent <intermittently",
    ),
    (
        "state",
        False,
        "<nominal <nom <typical <typ <normal <steady <steady-state <static <total <usable <each <rated",
    ),
)


def _phrase_table() -> dict[str, list[tuple[tuple[str, ...], str, bool, bool, bool]]]:
    table: dict[str, list[tuple[tuple[str, ...], str, bool, bool, bool]]] = {}
    for kind, apart, spellings in _PHRASES:
        for spelling in spellings.split():
            words = tuple(spelling[1:].split("_"))
            table.setdefault(words[0], []).append(
                (words, kind, apart, spelling[0] in "<=", spelling[0] in ">=")
            )
    for phrases in table.values():
        phrases.sort(key=lambda phrase: -len(phrase[0]))
    return table


_BY_FIRST = _phrase_table()
_AMOUNT_ENDS = frozenset(("num", "unit", "min", "close", "word", "state", "on", "off"))
_UNIT_PARTS = frozenset(("word", "sign"))
_Raw = tuple[str, int, int]


def scan(text: str, comma_decimal: bool) -> list[Token]:
    """The tokens of a cell whose blanks are folded. Raises NotReadError where a number or a sign is in doubt."""
    raw: list[_Raw] = [(found.lastgroup or "", found.start(), found.end()) for found in _RAW.finditer(text)]
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
        elif group in ("word", "sign"):
            token, index = _word(text, raw, index - 1, last)
        elif group == "dash":
            follows = text[end : end + 1]
            digit = follows.isdigit() or (follows == "." and text[end + 1 : end + 2].isdigit())
            if last in _AMOUNT_ENDS:
                if digit and text[start - 1] == " " and (text[start] == "−" or _signed(tokens)):
                    raise NotReadError(
                        f"`{text[start:end]}` could be a minus or a dash here",
                        "Write `-20 to -10` with `to`.",
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
        elif group == "dots":
            token = Token("to", start, end)
        elif group == "tilde":
            token = Token("to" if last in _AMOUNT_ENDS else "about", start, end)
        else:
            token = Token("pm" if group == "pm" else "other", start, end)
        tokens.append(token)
        last = token.kind
    return tokens


def _signed(tokens: list[Token]) -> bool:
    for token in reversed(tokens):
        if token.number is not None:
            return token.number.value < 0
    return False


def _bad_number(run: str, comma_decimal: bool) -> NotReadError:
    shown = run if len(run) <= 40 else run[:39] + "…"
    if comma_decimal and run.count(",") + run.count(".") == 1:
        return NotReadError(
            f"`{shown}` could be a group of thousands or a decimal comma: the file uses decimal commas",
            "Write thousands with a blank or nothing between the groups.",
        )
    if " " in run:
        return NotReadError(
            f"`{shown}` is several numbers with nothing between them, or groups that don't fit",
            "Say how they belong together: `10 to 20`, `230/215`, `1 234`.",
        )
    return NotReadError(f"`{shown}` is no amount", "Write one plain number, such as `1234` or `12.5`.")


def _word(text: str, raw: list[_Raw], index: int, last: str) -> tuple[Token, int]:
    """The unit, phrase or word that begins at raw[index], and the index behind it."""
    group, start, end = raw[index]
    glued = start > 0 and text[start - 1] != " " and last == "num"
    if (
        group == "word"
        and text[start:end].rstrip(".").casefold() == "min"
        and not _phrase_at(text, raw, index)
    ):
        return Token("min", start, end, back=True), index + 1
    if last == "num":
        found = _unit_at(text, raw, index)
        if found is not None:
            unit, behind = found
            return Token("unit", start, raw[behind - 1][2], unit=unit), behind
    phrase = _phrase_at(text, raw, index) if group == "word" else None
    if glued and not (phrase and phrase[4]):
        whole = text[max(0, start - 20) : end]
        raise NotReadError(
            f"a number isn't taken out of `{whole.split(' ')[-1]}`",
            "Put a blank and a known unit behind the number.",
        )
    if phrase is not None:
        words, kind, apart, front, back = phrase
        behind = index + len(words)
        return Token(kind, start, raw[behind - 1][2], apart=apart, front=front, back=back), behind
    if last == "num" and group == "word":
        spelling = text[start:end]
        thing = thing_counted(spelling) or (unknown_unit(spelling) if _unit_like(spelling) else None)
        if thing is not None:
            return Token("unit", start, end, unit=thing), index + 1
    return Token("word" if group == "word" else "other", start, end), index + 1


def _unit_like(spelling: str) -> bool:
    """Whether an unknown word behind a number looks like a unit rather than a word of the language."""
    plain = spelling.rstrip(".")
    if not 2 <= len(plain) <= 6 or not plain.isalpha():
        return plain.casefold() in TWO_UNITS or misspelt(plain)
    low = plain.casefold()
    return plain[-1].isupper() or not set(low) & set("aeiouy") or low in TWO_UNITS or misspelt(plain)


def _unit_at(text: str, raw: list[_Raw], index: int) -> tuple[Unit, int] | None:
    start = raw[index][1]
    behind = index + 1
    while behind < len(raw) and behind - index < LONGEST and _in_unit(text, raw, behind):
        behind += 1
    while behind > index:
        unit = find_unit(text[start : raw[behind - 1][2]])
        if unit is not None:
            return unit, behind
        behind -= 1
    return None


def _in_unit(text: str, raw: list[_Raw], at: int) -> bool:
    group, start, end = raw[at]
    if group in _UNIT_PARTS:
        return True
    if group != "mark":
        return False
    if text[start] == "/":
        return at + 1 < len(raw) and raw[at + 1][0] in _UNIT_PARTS
    return text[start : start + 3] in ("(g)", "(a)") or text[start - 2 : end] in ("(g)", "(a)")


def _phrase_at(
    text: str, raw: list[_Raw], index: int
) -> tuple[tuple[str, ...], str, bool, bool, bool] | None:
    choices = _BY_FIRST.get(_plain(text, raw[index]))
    if choices is None:
        return None
    for choice in choices:
        words = choice[0]
        if len(words) == 1:
            return choice
        behind = index + len(words)
        if behind <= len(raw) and all(
            raw[at][0] == "word" and _plain(text, raw[at]) == word
            for at, word in zip(range(index + 1, behind), words[1:], strict=True)
        ):
            return choice
    return None


def _plain(text: str, raw: _Raw) -> str:
    return text[raw[1] : raw[2]].rstrip(".").lower()
