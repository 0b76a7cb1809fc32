"""The look of words: runs, leads, and how bold is told."""

import pytest

from recall.notes.model import List, Paragraph, Run, Text
from recall.notes.reader import read_note


def _text(words: str) -> Text:
    block = read_note(words + "\n", "note.md")[0].blocks[0]
    assert isinstance(block, Paragraph)
    return block.text


def test_plain_words_have_no_runs() -> None:
    """Words of one plain look need no runs, whatever they went through."""
    for words in ("Oil pressure", "Oil *pressure*", "28&nbsp;V", "A<sub>2</sub>", "a\nb"):
        assert () == _text(words).runs


def test_runs_keep_looks_apart() -> None:
    """Bold, code and links are runs, which together are the plain words."""
    text = _text("**Fuel** `XFEED` see [the *manual*](m.md) or <b>ask</b>.")

    assert (
        Run("Fuel", bold=True),
        Run(" "),
        Run("XFEED", code=True),
        Run(" see "),
        Run("the manual", link=True),
        Run(" or "),
        Run("ask", bold=True),
        Run("."),
    ) == text.runs
    assert "Fuel XFEED see the manual or ask." == text.plain == "".join(run.text for run in text.runs)


@pytest.mark.parametrize(
    ("words", "bold"),
    [
        ("Oil", "none"),
        ("**Oil**", "all"),
        ("**Oil pressure**:", "all"),
        ("**Oil** **pressure** –", "all"),
        ("__Oil__", "all"),
        ("<strong>Oil</strong>", "all"),
        ("***Oil***", "all"),
        ("**Oil** pressure", "some"),
        ("Throttle ... **IDLE**", "some"),
        ("**—** words", "none"),
        ("**±**", "all"),
        ("`**Oil**`", "none"),
        (r"\*\*Oil\*\*", "none"),
    ],
)
def test_bold_is_told_by_words(words: str, bold: str) -> None:
    """Blanks and punctuation don't count when a text is all bold, or not."""
    assert bold == _text(words).bold


def test_lead_of_a_bullet_is_its_term() -> None:
    """Bold or code words at the head lead the words behind them."""
    block = read_note("- **APU** – unit\n- `GCU`: unit\n- **Both**\n- unit **APU**\n", "note.md")[0].blocks[0]
    assert isinstance(block, List)

    leads = [item.text.lead for item in block.items]

    assert [Run("APU", bold=True), Run("GCU", code=True), None, None] == leads


def test_contents_lists_are_links() -> None:
    """Each entry of a table of contents is one link."""
    block = read_note("- [Batteries](#batteries)\n- [APU](apu.md)\n", "note.md")[0].blocks[0]
    assert isinstance(block, List)

    assert all(run.link for item in block.items for run in item.text.runs)


@pytest.mark.parametrize(
    ("words", "plain"),
    [
        ("10<sup>3</sup> kg", "10³ kg"),
        ("10<sup>-2</sup>", "10⁻²"),
        ("28<sup>note</sup>", "28^note"),
        ("28<sub>1</sub> V", "28_1 V"),
        ("~~24~~ 28", "~~24~~ 28"),
        ("<s>24</s> 28", "~~24~~ 28"),
    ],
)
def test_no_number_grows_out_of_two(words: str, plain: str) -> None:
    """Raised, lowered and struck-out digits never join the digits beside them."""
    assert plain == _text(words).plain
