"""No text takes work by the square of its length on the way from text to findings and cards.

Work is counted, not timed: calls of functions, the interpreter's own among them, without those that a note of one
word takes. What one call does inside itself (a search for a pattern) isn't counted; the shapes are long runs of what
patterns look for, so a hang is felt here all the same.

Counts are exact, so the bound is near to what linear work takes: where work is a·n + b·n², growth from 4 to 16 kB
below 4.3 says that b·n is below a fifteenth of a at 10 kB, or 4.9 times from 16 to 64. The longest text is therefore
counted only where the middle one made little work; that is where a square would begin late.
"""

import cProfile
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import partial
from pathlib import Path

import pytest

from recall.deck.read import read_deck

SIZES = (1, 4, 16, 64)
"""Kilobytes of each text, of which the first isn't counted."""
MOST_GROWTH = 4.3
"""Times the work for four times the text: 4 is linear, 16 its square. Between them stand sorting and dictionaries."""
ENOUGH = 300_000
"""Calls of one text after which no longer one is counted."""
FREE = 10_000
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
    "a paragraph of lines": ("# A\n\n", "a {}\n"),
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


def counted(folder: Path, texts: Iterable[str]) -> Iterator[int]:
    """The work that each text takes more than a note of one word. The first text and the first word aren't counted:
    they make patterns and classes ready, and of each text that follows a quarter is known from the one before."""
    note = folder / "note.md"

    def read(text: str) -> None:
        note.write_text(text, encoding="utf-8")
        read_deck(note, today=date(2026, 11, 28))

    texts = iter(texts)
    read(next(texts))
    read("word")
    least = work(partial(read, "word"))
    yield from (work(partial(read, text)) - least for text in texts)


def grows(counts: Iterable[int]) -> list[int]:
    """Counts up to the one that is enough, or to the first that has grown too much; empty where none has."""
    found: list[int] = []
    for count in counts:
        found.append(count)
        if len(found) > 1 and count > max(MOST_GROWTH * found[-2], FREE):
            return found
        if len(found) > 1 and count > ENOUGH:
            break
    return []


@pytest.mark.parametrize("name", SHAPES)
def test_work_grows_with_the_text(name: str, tmp_path: Path) -> None:
    """Four times the text takes about four times the work."""
    texts = (text_of(SHAPES[name], size) for size in SIZES)

    assert [] == grows(counted(tmp_path, texts))


@pytest.mark.parametrize("head", ["x", "Maximum", "Oil psi"])
def test_work_grows_with_the_columns(head: str, tmp_path: Path) -> None:
    """Four times the columns of one name beside a threshold take about four times the work."""
    rows = (("Parameter", "Caution", head), ("---", "---", "---"), ("Oil", "5 psi", "6 psi"))
    texts = (
        "".join(f"| {first} | {second} |" + f" {rest} |" * columns + "\n" for first, second, rest in rows)
        for columns in (125, 500, 2000)
    )

    assert [] == grows(counted(tmp_path, texts))


def test_work_by_the_square_is_seen() -> None:
    """The gate can fail: also where a square is a ninth of all work, and where it begins late."""

    def calls(linear: int, square: int) -> int:
        return work(lambda: [abs(at) for at in range(linear + square)])

    assert [] != grows(calls(0, size**2) for size in (100, 400))
    assert [] != grows(calls(1000 * size, 9 * size**2) for size in SIZES[1:])
    assert [] != grows(calls(1000 * size, max(size - 16, 0) ** 2 * 30) for size in SIZES[1:])
    assert [] == grows(calls(1000 * size, 0) for size in SIZES[1:])
    assert len(SHAPES) >= 50
