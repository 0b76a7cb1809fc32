"""Names in the cells of a supply: several loads, what is needed besides, and backups by themselves or by hand."""

from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.text import key_form, one_line
from recall.kinds.tables.cells import MARK, is_placeholder, is_tick, says_none, split_at

_JOINT = re.any_case(r"^(?:and then|and|or|then|finally|lastly|plus|also|&|\+)\s+")
_AND = re.any_case(r"\s+(?:and|&|plus)\s+")
_OR = re.any_case(r"\s*,?\s+(?:or|and then|then|otherwise|else)\s+(?:(?:else|finally|lastly)\s+)?")
_MORE = re.any_case(
    r"etc\.?|…|\.\.\.?|and so (?:on|forth)|(?:the )?(?:rest|others?|remaining\b.*)|"
    r"(?:all|some|various|other)\b.*"
)
_TAIL = re.any_case(r"(?:,?\s*etc\.?|…|\.\.\.)$")
_AMOUNT = re.compile(r"[\d.,\s±<>≤≥~+\-–]+\s*(?:[A-Za-z%°]{1,4})?")
_ID = re.compile(r"(?:No\.?\s*)?(?:\d+[A-Za-z]?|[A-Z])")
_TWO_IDS = re.compile(r"(?P<name>.*[^\Ws]) (?P<one>\d+|[A-Z])(?: and | & |/)(?P<two>\d+|[A-Z])")
_BY_HAND = re.any_case(
    r"\b(?:manual(?:ly)?(?: (?:select(?:ion|ed)?|switching|changeover))?|by hand|hand[- ]operated|"
    r"(?:by )?(?:the )?(?:crew|pilot)(?: (?:action|must act|acts|selects?|switches|opens|closes))?)\b"
)
_BY_ITSELF = re.any_case(r"\bauto(?:matic(?:ally)?|\.)?(?: (?:changeover|transfer|switching))?")
_BRACKET = re.compile(r"\s*[(\[]([^()\[\]]*)[)\]]\s*$")
_WAY = re.any_case(r"\s+(via|through|by closing|by opening|by means of)\s+(.+)$")
THROUGH = re.any_case(r"\s*\((?:via|through)\s[^()]*\)$")
"""Says how a thing is fed, and is no part of its name."""
_EDGE = " \t,;:–—-"


@dataclass(frozen=True, slots=True)
class Backup:
    """What takes over. manual: only once the crew act; how: in the note's words. Both texts may be empty."""

    name: str
    manual: bool = False
    how: str = ""


def names_in(text: str) -> tuple[str, ...] | None:
    """The names in a cell, each once; none for a placeholder; None where they aren't all given, or are amounts.

    Commas, semicolons and line ends part them, and `and` where it can't belong to a name.
    """
    if is_placeholder(text) or says_none(text):
        return ()
    if _TAIL.search(one_line(text)):
        return None
    pieces = [_clean(piece) for line in text.split("\n") for piece in split_at(line, ",;")]
    pieces = [piece for piece in pieces if piece]
    if any(_MORE.fullmatch(piece) or _AMOUNT.fullmatch(piece) or is_tick(piece) for piece in pieces):
        return None
    if pieces:
        pieces[-1:] = _tied(pieces[-1], pieces[:-1])
    found: dict[str, str] = {}
    for piece in pieces:
        for name in _counted(piece):
            found.setdefault(key_form(name), name)
    found.pop("", None)
    return tuple(found.values())


def alternatives(name: str) -> tuple[str, ...]:
    """The things of which one is enough: `Pump 1 or pump 2` is two."""
    return tuple(piece for piece in map(_clean, _OR.split(name)) if piece)


def backups_in(text: str) -> tuple[Backup, ...]:
    """The backups in a cell, in the order in which they take over."""
    found: list[Backup] = []
    for name in names_in(text) or ():
        for piece in alternatives(name):
            backup = _backup(piece)
            if not backup.name and found and not backup.how:
                found[-1] = Backup(found[-1].name, backup.manual or found[-1].manual, found[-1].how)
            elif backup.name or backup.manual:
                found.append(backup)
    return tuple(found)


def _clean(piece: str) -> str:
    piece = _JOINT.sub("", MARK.sub("", THROUGH.sub("", one_line(piece))))
    return piece[:-1].rstrip() if piece.endswith(".") and not re.search(r"\b\w\.\w\.$", piece) else piece


def _tied(piece: str, before: list[str]) -> list[str]:
    """The last name in a cell, or two where its `and` parts them."""
    halves = _AND.split(piece)
    if len(halves) != 2 or not all(halves):
        return [piece]
    left, right = halves
    ends = left.split()[-1], right.split()[-1]
    paired = min(len(left.split()), len(right.split())) > 1 and (
        ends[0].casefold() == ends[1].casefold() or all(_ID.fullmatch(end) for end in ends)
    )
    if paired or right.startswith("the "):
        return halves
    if not before:
        return [piece]
    rest = [*before[1:], left]
    if right[:1].islower():
        listed = all(name[:1].islower() for name in rest)
    else:
        listed = not any(re.search(r"\s[A-Z][a-z]", name) for name in [*before, left, right])
    return halves if listed else [piece]


def _counted(name: str) -> tuple[str, ...]:
    """`Radio 1 and 2` as the two that it means."""
    found = _TWO_IDS.fullmatch(name)
    return (f"{found['name']} {found['one']}", f"{found['name']} {found['two']}") if found else (name,)


def _backup(piece: str) -> Backup:
    manual, how = False, ""
    name = piece
    while found := _BRACKET.search(name):
        aside = found[1]
        if not (_BY_HAND.search(aside) or _BY_ITSELF.search(aside)):
            break
        manual |= _BY_HAND.search(aside) is not None
        how = how or _BY_ITSELF.sub("", _BY_HAND.sub("", aside)).strip(_EDGE)
        name = name[: found.start()]
    if _BY_HAND.search(name):
        manual = True
        name = re.sub(
            rf"^(?:{_BY_HAND.pattern})\s*[:–—-]\s*|[\s,–—-]*(?:{_BY_HAND.pattern})$", "", name, flags=re.I
        )
    if _BY_ITSELF.fullmatch(name.strip()):
        name = ""
    if found := _WAY.search(name):
        how = how or f"{found[1].lower()} {found[2]}"
        name = name[: found.start()]
    return Backup(name.strip(_EDGE), manual, how)
