"""A wording is known by the letters in which it is written."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recall.base.text import canonical
from recall.kinds.wording import WRITTEN, WRITTEN_LIST, texts_in


@given(st.text(), st.lists(st.text()))
def test_a_text_is_known_by_how_it_is_written(text: str, texts: list[str]) -> None:
    """The expression for a text matches just what is written of it, and a list gives its texts back."""
    whole = re.fullmatch(WRITTEN_LIST, canonical(texts))

    assert re.fullmatch(WRITTEN, canonical(text))
    assert whole is not None
    assert texts == texts_in(whole[1])


@pytest.mark.parametrize(
    "written", ['"\\/"', '"\\u0041"', '"\\u0009"', '"\\u000A"', '"\\ud800"', '"\t"', '"a"b"', '"\\"']
)
def test_another_spelling_of_a_text(written: str) -> None:
    """A text that is spelt otherwise than it would be written isn't known."""

    assert re.fullmatch(WRITTEN, written) is None
