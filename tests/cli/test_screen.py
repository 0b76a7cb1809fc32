"""What is written on a terminal and in a pipe: the same words on the same lines."""

import io

from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from recall.cli.screen import Screen

WIDE = 30
WORDS = st.text(st.sampled_from("abé -/°\n"), max_size=120)


@given(WORDS, st.sampled_from((0, 2, 6)))
def test_a_pipe_gets_the_lines_of_a_terminal(text: str, indent: int) -> None:
    """Wrapped at the same words, indented alike; only a terminal is given style."""
    plain, styled = io.StringIO(), io.StringIO()
    Screen(plain, WIDE).line(text, "bold", indent)
    console = Console(file=styled, width=WIDE, highlight=False, no_color=True, markup=False, emoji=False)
    Screen(styled, WIDE, console).line(text, "", indent)

    assert styled.getvalue() == plain.getvalue()
