"""Paper, fonts and words for PDF. Two runs give the same bytes: no date, no random id.

The fonts are those that the library carries; Greek letters and arrows, which they lack, come from Symbol, one of the
14 fonts that every reader of PDF has. Any other character they lack is shown by its number.
"""

from functools import cache
from html import escape
from pathlib import Path

import reportlab
from reportlab import rl_config
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from recall.base.errors import RecallError
from recall.base.text import shown

PAPERS: dict[str, tuple[float, float]] = {"a4": A4, "letter": LETTER}
"""Width and height in points."""
REGULAR, BOLD = "Vera", "VeraBd"
_SYMBOLS = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρςστυφχψω→←↑↓↔⇒⇔∀∃∈∉∴∅∪∩"
_ALIKE = {"μ": "µ", "⟶": "→", "➔": "→", "➜": "→", "\u2011": "-", "\u2212": "−", "\t": " "}


def paper(name: str) -> tuple[float, float]:
    """Width and height in points. Raises RecallError for a paper that isn't known."""
    if name not in PAPERS:
        raise RecallError(f"there is no paper `{name}`", f"papers are: {', '.join(PAPERS)}")
    return PAPERS[name]


@cache
def fonts() -> frozenset[int]:
    """Make the fonts ready; the characters that they have."""
    rl_config.invariant = 1
    folder = Path(reportlab.__file__).parent / "fonts"
    characters: set[int] = set()
    for number, name in enumerate((REGULAR, BOLD)):
        font = TTFont(name, folder / f"{name}.ttf")
        pdfmetrics.registerFont(font)
        here = set(font.face.charToGlyph)
        characters = here if number == 0 else characters & here
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset(characters)


def printable(text: str) -> str:
    """The text with what the fonts lack by its number; for a line drawn by itself."""
    known = fonts()
    text = "".join(_ALIKE.get(one, one) for one in shown(text))
    return "".join(one if ord(one) in known or one == "\n" else f"\\u{{{ord(one):04X}}}" for one in text)


def marked_up(text: str) -> str:
    """The text as the library's paragraphs take it, everything in it escaped."""
    known = fonts()
    parts = []
    for one in shown(text):
        one = _ALIKE.get(one, one)
        if one == "\n":
            parts.append("<br/>")
        elif ord(one) in known:
            parts.append(escape(one))
        elif one in _SYMBOLS:
            parts.append(f'<font name="Symbol">{one}</font>')
        else:
            parts.append(f"\\u{{{ord(one):04X}}}")
    return "".join(parts)
