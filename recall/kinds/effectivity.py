"""Effectivity: for which aircraft something holds. Serial numbers and variants, in lists and ranges."""

from collections.abc import Mapping
from functools import lru_cache

from recall.base import regex as re
from recall.base.text import key_form

_RANGE = re.compile(
    r"^([a-z\-/ ]*?)(\d+)\s*(?:[-\u2010-\u2014~]|to|thru|through|\.\.)\s*(?:[a-z\-/ ]*?)(\d+)$"
)
_OPEN = re.compile(r"^([a-z\-/ ]*?)(\d+)\s*(?:and (?:on|up|subsequent|later|above)|onwards?|\+|on)$")
_SERIAL = re.compile(r"^([a-z\-/ ]*?)(\d+)$")
_LEAD = re.compile(r"^(?:serials?|serial (?:numbers?|nos?\.?)|s/n|sn|aircraft|msn)\s+")
_ALL = {"", "all", "all aircraft", "all serials", "any", "-", "—", "–"}
_NO_END = 10**12

Part = tuple[str, int, int]
"""Prefix or variant name, first and last serial; a name alone has the serials (-1, -1)."""


@lru_cache(maxsize=4096)
def parts_of(applies: str) -> tuple[Part, ...]:
    """The parts of an `Applies to` text; empty means all aircraft."""
    if key_form(applies) in _ALL:
        return ()
    parts: list[Part] = []
    for piece in re.split(r"[,;&]|\band\b(?! (?:on|up|subsequent|later|above)\b)", applies):
        text = _LEAD.sub("", key_form(piece))
        if not text:
            continue
        if found := _RANGE.match(text):
            parts.append((found[1].strip(" -"), int(found[2]), int(found[3])))
        elif found := _OPEN.match(text):
            parts.append((found[1].strip(" -"), int(found[2]), _NO_END))
        elif found := _SERIAL.match(text):
            parts.append((found[1].strip(" -"), int(found[2]), int(found[2])))
        else:
            parts.append((text, -1, -1))
    return tuple(parts)


def overlap(first: str, second: str) -> bool:
    """Whether some aircraft may be meant by both. Serials of one series compare, and so do two names; where
    nothing compares (a serial and a variant's name), they may overlap."""
    one, two = parts_of(first), parts_of(second)
    pairs = [
        (a, b)
        for a in one
        for b in two
        if (a[1] < 0 and b[1] < 0) or (a[0] == b[0] and a[1] >= 0 and b[1] >= 0)
    ]
    return not pairs or any(a[0] == b[0] and a[1] <= b[2] and b[1] <= a[2] for a, b in pairs)


def names(applies: str, aircraft: str) -> bool:
    """Whether a text surely means some of these aircraft: by their name, or a serial in its range."""
    return any(
        a[0] == b[0] and a[1] <= b[2] and b[1] <= a[2] for a in parts_of(applies) for b in parts_of(aircraft)
    )


def applies_to(applies: str, aircraft: str) -> bool:
    """Whether something with this `Applies to` holds for a person's aircraft; either empty: it does."""
    return overlap(applies, aircraft)


def spelled(applies: str, variants: Mapping[str, str]) -> str:
    """An `Applies to` text with the serials of each declared variant that it names. variants: serials by name."""
    parts = set(parts_of(applies)) if variants else set()
    return ", ".join([applies, *(own for name, own in variants.items() if own and parts & {*parts_of(name)})])


def undeclared(applies: str, variants: Mapping[str, str]) -> list[str]:
    """The variants that an `Applies to` text names and that aren't declared, and the serials that no variant has, if
    each has its own. A serial under a lead of its own (`Mk 3`) is a variant unless a declared variant or its serials
    have that lead."""
    known = {part for name in variants for part in parts_of(name)}
    own = [part for said in variants.values() for part in parts_of(said) if part[1] >= 0]
    leads = {"", *(lead for lead, *_ in own)}

    def strange(lead: str, first: int, last: int) -> bool:
        if first < 0 or lead not in leads:
            return True
        had = any(lead == other and low <= first <= high for other, low, high in own)
        return first == last and not had and all(variants.values())

    return [
        f"{part[0]} {part[1]}".strip() if part[1] >= 0 else part[0]
        for part in parts_of(applies)
        if part not in known and strange(*part)
    ]
