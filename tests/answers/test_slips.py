"""Slips of the keyboard, against a library for edit distances."""

from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from recall.answers.alike import forgiven_slip
from recall.base.text import one_slip

_WORD = st.text("abcde", min_size=1, max_size=8)


@settings(max_examples=400, deadline=None)
@given(_WORD, _WORD)
def test_one_slip_is_one_step_of_optimal_string_alignment(one: str, two: str) -> None:
    """A letter wrong, left out, added, or two neighbours swapped: rapidfuzz's OSA distance of one."""
    assert (OSA.distance(one, two) == 1) == one_slip(one, two)


@settings(max_examples=200, deadline=None)
@given(st.text("abcde", min_size=5, max_size=8), st.integers(0, 7), st.sampled_from("vwxyz"))
def test_a_slip_is_forgiven_wherever_it_stands(word: str, at: int, letter: str) -> None:
    """An added, a wrong and a left-out letter of a word that is no other, also the last."""
    at = min(at, len(word) - 1)
    slips = [word[:at] + letter + word[at:], word[:at] + letter + word[at + 1 :], word + letter]

    assert all(forgiven_slip(slip, word, set[str]().__contains__) for slip in slips)


def test_words_of_the_trade_are_no_slips() -> None:
    """Pairs of the Pilot/Controller Glossary's own terms (from memory), one slip apart."""
    pairs = (
        "pilot pitot|altitude attitude|latitude altitude|light right|flight right|heading reading|weight height|"
        "vector sector|warming warning|inlet inset|level lever|rotor motor|stowed stored|ports posts|power tower|"
        "valve value|clear clean|descent decent|slats slots|winds wings|radar rader|bearing hearing"
    )
    taken = [pair for pair in pairs.split("|") if forgiven_slip(*pair.split(), set[str]().__contains__)]

    assert [] == taken
