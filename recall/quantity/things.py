"""Words that are units of things counted, of two units at once, or of none; and cells that are left open."""

from recall.base import regex as re
from recall.base.text import word_set

# Words that name things to count, in the singular or as they stand.
COUNTED = word_set("""
    passenger person people pax crew soldier paratrooper seat occupant litter stretcher patient cycle start landing
    car attempt time turn engine pump battery blade bag aircraft step item pallet bottle shot charge door raft vest
    pilot generator approach takeoff flight point question dose mask man men woman women child children sortie jump
    jumper survivor tyre tire wheel tank light page count each unit piece
""")

# Words that could be one of two units: never guessed.
TWO_UNITS = word_set("mile miles ton tons pint pints mil mils")

# Words that end like a plural and name nothing that is counted.
NOT_THINGS = word_set(
    "always sometimes unless across towards besides perhaps whereas plus minus various others degrees"
)

DASHES = "-‐‑‒–—―−"
_SIGNS = (DASHES + " ", ".… ", "?？ ", "_ ", "#")
_NO_VALUE = """
    n/a na n.a n/av n.av n/avail tbd t.b.d tbc t.b.c tba t.b.a tbn tbs unknown blank pending todo to_do
    not_applicable not_available not_known not_specified not_stated not_given not_yet_known to_follow to_be_determined
    to_be_defined to_be_confirmed to_be_announced to_be_added to_be_supplied no_data no_value fill_in none_given
"""
_PLACEHOLDERS = frozenset(words.replace("_", " ") for words in _NO_VALUE.split())
_ELSEWHERE = re.exact(
    r"(?:still )?to be (?:added|advised|confirmed|decided|defined|determined|done|filled in|written)|xx+|"
    r"(?:see|refer to)\s+(?:the\s+)?(?:tables?|figures?|fig\.?|sections?|chapters?|pages?|notes?|appendix|below|"
    r"above)(?:\s+\S+){0,3}",
    holds=(" to be ", " still", " xx", " see ", " refer "),
)
"""Where no number stands, only these words send the reader elsewhere: `see and avoid` is an answer."""


def left_open(text: str) -> bool:
    """Whether a cell of any kind (blanks folded) has no answer yet: `-`, `TBD`, `to be added`, `see table below`."""
    if text == "*" or any(not text.strip(signs) for signs in _SIGNS):
        return True
    low = text.casefold().strip("()[]<>{} ").rstrip(".:! ")
    return low in _PLACEHOLDERS or not low or _ELSEWHERE.fullmatch(low) is not None
