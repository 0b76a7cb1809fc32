"""The words around an amount that say what it is: comparisons, joints, states."""

from functools import cache
from typing import NamedTuple


class Phrase(NamedTuple):
    """words: in lower case; kind: of the token; apart: a comparison that leaves the number itself out.

    front, back: may stand before the number, behind it.
    """

    words: tuple[str, ...]
    kind: str
    apart: bool
    front: bool
    back: bool


# A mark before each: < stands before the number, > behind it, = on either side.
_AT_MOST = """
    =max =maximum <max_of <maximum_of =at_most <up_to <up_to_and_including <within <limited_to <at_or_below
    <not_above <not_over <not_more_than <no_more_than <not_greater_than <no_greater_than <not_higher_than
    <no_higher_than <not_exceeding <not_to_exceed <not_exceed <do_not_exceed <does_not_exceed <must_not_exceed
    <shall_not_exceed <should_not_exceed <may_not_exceed <never_exceed <never_above <never_more_than <not_longer_than
    <no_longer_than <less_than_or_equal_to <equal_to_or_less_than >or_less >or_below >or_lower >or_under >or_fewer
    >or_smaller >or_shorter >or_thinner >or_lighter >or_narrower >or_slower >or_colder >or_cooler >or_shallower
    >and_below >and_less =höchstens =maximal >maxi
"""
_AT_LEAST = """
    =minimum <min_of <minimum_of =at_least <at_or_above <not_below <not_under <not_less_than <no_less_than
    <not_lower_than <no_lower_than <not_fewer_than <never_below <never_less_than <must_not_be_below
    <greater_than_or_equal_to <equal_to_or_greater_than >or_more >or_above >or_higher >or_greater >or_over >or_longer
    >or_larger >or_bigger >or_thicker >or_heavier >or_wider >or_faster >or_hotter >or_warmer >or_deeper >or_taller
    >or_stronger =mindestens =minimal >mini >and_above >and_up >and_more
"""
_LESS = "<less_than <below <under <unter <lower_than <fewer_than <shorter_than"
_MORE = "<more_than <above <over <über <greater_than <higher_than <exceeding <exceeds <exceed <beyond <longer_than"
_ABOUT = "<about <approximately <approx <around <circa <ca <roughly <nominally"
_STATES = """
    <continuous <continuously <cont <transient <momentary <momentarily <intermittent <intermittently <nominal <nom
    <typical <typ <normal <steady <steady-state <static <total <usable <each <rated
"""
_PHRASES = (
    ("under", False, _AT_MOST),
    ("over", False, _AT_LEAST),
    ("under", True, _LESS),
    ("over", True, _MORE),
    ("about", False, _ABOUT),
    ("state", False, _STATES),
    ("pm", False, "<plus_or_minus"),
    ("to", False, "<to <bis"),
    ("and", False, "<and <und <et"),
    ("or", False, "<or"),
    ("between", False, "<between <zwischen <entre"),
    ("from", False, "<from"),
    ("for", False, "<for"),
    ("on", False, "<on"),
    ("off", False, "<off"),
    ("then", False, "<then <followed_by"),
    ("times", False, "<twice <once <times <three_times"),
)


@cache
def by_first_word() -> dict[str, list[Phrase]]:
    """The phrases that begin with a word, the longest first."""
    table: dict[str, list[Phrase]] = {}
    for kind, apart, spellings in _PHRASES:
        for spelling in spellings.split():
            words = tuple(spelling[1:].split("_"))
            phrase = Phrase(words, kind, apart, spelling[0] in "<=", spelling[0] in ">=")
            table.setdefault(words[0], []).append(phrase)
    for phrases in table.values():
        phrases.sort(key=lambda phrase: -len(phrase.words))
    return table
