"""Golden cases: a readable Markdown note with the cards and findings that it must make, in one file.

A case is a note, then a fence `~~~cards` with a line `kind aspect | prompt | answer` for each card (members of a set
parted by `; `, a line end shown as `⏎`), then a fence `~~~findings` with a line `line rule`, or `file:line rule`
where a case has several files. A line `<!-- file: name.md -->` begins another file of the same deck;
`<!-- file: name.md crlf bom -->` one with those line ends and a byte order mark. `python tests/golden.py CASE` prints
what a case makes now, to be read before it is kept.
"""

import re
import sys
import tempfile
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from recall.deck.read import read_deck
from recall.deck.source import find_sources

CASES = Path(__file__).parent / "cases"
TODAY = date(2026, 11, 24)
_FENCE = re.compile(r"^~~~(cards|findings)\n(.*?)^~~~$", re.DOTALL | re.MULTILINE)
_FILE = re.compile(r"^<!-- file: (\S+)((?: crlf| bom)*) -->\n", re.MULTILINE)


@dataclass(frozen=True)
class Case:
    """A case: its files by name, the cards and findings expected."""

    files: dict[str, str]
    cards: list[str]
    findings: list[str]


def read_case(path: Path) -> Case:
    """Part a case into its files and what is expected of them."""
    text = path.read_text(encoding="utf-8")
    first = _FENCE.search(text)
    note = text[: first.start()] if first else text
    expected = {found[1]: found[2].splitlines() for found in _FENCE.finditer(text)}
    pieces = _FILE.split(note)
    files = {path.name: pieces[0]} if pieces[0].strip() else {}
    for name, ends, words in zip(pieces[1::3], pieces[2::3], pieces[3::3], strict=True):
        words = words.replace("\n", "\r\n") if "crlf" in ends else words
        files[name] = "\ufeff" + words if "bom" in ends else words
    return Case(files, expected.get("cards", []), expected.get("findings", []))


def made_by(case: Case) -> tuple[list[str], list[str]]:
    """The cards and findings that a case makes, as the lines of its fences."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder) / "case"
        root.mkdir()
        for name, text in case.files.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text, encoding="utf-8", newline="")
        one = len(case.files) == 1 and "deck.md" not in case.files
        deck, findings = read_deck(
            find_sources(root / next(iter(case.files)) if one else root)[0], today=TODAY
        )
    cards = [
        f"{card.kind} {card.aspect} | {card.prompt} | {'; '.join(card.answer.texts)}".rstrip()
        for card in deck.cards
    ]
    cards = [re.sub(r"\n+", " ⏎ ", line) for line in cards]
    places = [f"{said.place.line}" if one else f"{said.place.file}:{said.place.line}" for said in findings]
    return cards, [f"{place} {said.rule}" for place, said in zip(places, findings, strict=True)]


def main() -> None:
    """Print what the named cases make."""
    for name in sys.argv[1:]:
        cards, findings = made_by(read_case(Path(name)))
        print("~~~cards", *cards, "~~~", "", "~~~findings", *findings, "~~~", sep="\n")


if __name__ == "__main__":
    main()
