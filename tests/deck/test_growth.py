"""No text takes work by the square of its length on the way from text to findings and cards.

Work is counted, not timed: calls of functions, the interpreter's own among them. What one call does inside itself (a
search for a pattern) isn't counted; the shapes are long runs of what patterns look for, so a hang is felt
here all the same.
"""

import cProfile
from collections.abc import Callable
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from recall.deck.read import read_deck

SIZES = (4, 16, 64)
"""Kilobytes of each text."""
MOST_GROWTH = 5.5
"""Times the work for four times the text: 4 is linear, 16 its square. Between them stand sorting and dictionaries."""
FREE = 40_000
"""Calls that any note may take: below it nothing is compared."""

LIMITS = "| Parameter | Minimum | Maximum | Unit |\n|---|---|---|---|\n"
WORDS = "| Abbreviation | Meaning |\n|---|---|\n"
FEEDS = "| Bus | Feeds |\n|---|---|\n"

SHAPES: dict[str, tuple[str, str]] = {
    "quotation marks": ("", "> "),
    "a deep quotation, lazy lines": ("> " * 90 + "a\n", "b\n"),
    "quotations that begin again": ("", "> <!--\n: [a]:\n"),
    "quotations of rules": ("", "> - ---\n   a\n"),
    "quotations of HTML": ("", "    <a\n" + "> " * 30 + "</div>\n"),
    "quotations": ("", "> a\nb\n\n"),
    "list marks": ("", "- "),
    "lists": ("", "- a\n+ a\n* a\n"),
    "a deep list, lazy lines": ("- " * 90 + "a\n", "b\n"),
    "quotations in a list": ("", "- > a\n"),
    "definitions": ("a\n", ": b\n"),
    "HTML lines": ("", "<div>\n"),
    "HTML tables": ("", "<table>\n\n"),
    "HTML cells": ("<table>", "<td>a"),
    "HTML attributes": ("<p ", "a="),
    "comments": ("", "<!-- "),
    "CDATA": ("", "a <![CDATA["),
    "brackets": ("", "["),
    "pictures": ("", "!["),
    "links": ("", "[a]("),
    "a link's target": ("[a](<", "a"),
    "references": ("", "[a{}]: b{}\n"),
    "unfinished references": ("", "[a]:\n"),
    "stars": ("", "*a "),
    "backticks": ("", "`a"),
    "entities": ("", "&amp;"),
    "hidden characters": ("", "a\u200b\n"),
    "fences": ("", "> ```\n"),
    "admonitions": ("", "!!! note\n"),
    "headings": ("", "# Part {}\n"),
    "ids": ("", "# a {{#a{}}}\n"),
    "underlined headings": ("", "a\n=\n"),
    "tables": ("", "| A | B |\n|---|---|\n| c | d |\n\n"),
    "one row again": (LIMITS, "| Oil | 1 | 2 | psi |\n"),
    "rows of one name": (LIMITS, "| Oil | {} | 99999 | psi |\n"),
    "rows of one name by aircraft": (
        LIMITS.replace("Unit", "Applies to"),
        "| Oil | 1 psi | 9 psi | SN {} |\n",
    ),
    "times of one name": (LIMITS, "| Oil | 1 | {} | psi for {} s |\n"),
    "a cell of comparisons": (LIMITS + "| Oil | ", "max "),
    "a cell of brackets": (LIMITS + "| Oil | 5 ", "(a) "),
    "a cell of dashes": (LIMITS + "| Oil | ", "1-"),
    "abbreviations": (WORDS, "| A{} | alpha {} |\n"),
    "meanings of one abbreviation": (WORDS, "| AB | alpha beta {} |\n"),
    "a long abbreviation": (WORDS + "| ", "A"),
    "capitals": ("", "AB CD EF "),
    "supplies": (FEEDS, "| Bus {} | Bus {}0 |\n"),
    "loads of one source": (FEEDS, "| Bus A | Load {} |\n"),
    "steps": ("# Start\n\n", "1. Pump {} ..... ON\n"),
    "sentences": ("", "If pump {} fails, light {} comes on.\n\n"),
    "sources": ("", "Source: Handbook {}\n\n"),
    "arrows": ("", "a -> "),
    "keys of a record": ("---\n", "a{}: b\n"),
    "numbers": ("", "one 1 "),
}
"""What a text begins with, and what follows again and again; `{}` counts."""


def text_of(shape: tuple[str, str], kilobytes: int) -> str:
    """A text of a shape."""
    before, again = shape
    text, at = [before], 0
    left = kilobytes * 1024 - len(before)
    while left > 0:
        piece = again.replace("{{", "{").replace("}}", "}") if "{}" not in again else again.format(at, at)
        text.append(piece)
        left -= len(piece)
        at += 1
    return "".join(text)


def work(read: Callable[[], object]) -> int:
    """Calls that some reading takes."""
    counter = cProfile.Profile(subcalls=False)
    counter.enable()
    try:
        read()
    finally:
        counter.disable()
    return sum(entry.callcount for entry in counter.getstats())


@pytest.mark.parametrize("name", SHAPES)
def test_work_grows_with_the_text(name: str, tmp_path: Path) -> None:
    """Four times the text takes about four times the work."""
    note = tmp_path / "note.md"
    counted = []
    for size in SIZES:
        note.write_text(text_of(SHAPES[name], size), encoding="utf-8")
        counted.append(work(lambda: read_deck(note, today=date(2026, 11, 28))))

    for less, more in pairwise(counted):
        assert more <= max(MOST_GROWTH * less, FREE), counted


@pytest.mark.parametrize("head", ["x", "Maximum", "Oil psi"])
def test_work_grows_with_the_columns(head: str, tmp_path: Path) -> None:
    """Four times the columns of one name beside a threshold take about four times the work."""
    note = tmp_path / "note.md"
    counted = []
    for columns in (500, 2000):
        rows = (("Parameter", "Caution", head), ("---", "---", "---"), ("Oil", "5 psi", "6 psi"))
        lines = (f"| {first} | {second} |" + f" {rest} |" * columns for first, second, rest in rows)
        note.write_text("\n".join(lines) + "\n", encoding="utf-8")
        counted.append(work(lambda: read_deck(note, today=date(2026, 11, 28))))

    assert counted[1] <= MOST_GROWTH * counted[0], counted


def test_work_by_the_square_is_seen() -> None:
    """The gate can fail: comparing each with each grows sixteenfold."""

    def each_with_each(size: int) -> int:
        return work(lambda: [abs(at) for at in range(size) for _ in range(size)])

    few, many = each_with_each(100), each_with_each(400)

    assert many > MOST_GROWTH * few
    assert len(SHAPES) >= 50
