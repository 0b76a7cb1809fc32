"""Slips against published lists: how many common misspellings are forgiven, how many other words are taken for one.

Misspellings: the dictionary of the package codespell (from Wikipedia's list among others); what one slip explains.
Right words: those of that dictionary and of the demo decks, each against those one slip away.

    python tests/bench/slips.py
"""

import re
from collections import defaultdict
from pathlib import Path

import codespell_lib

from recall.answers.alike import SHORTEST, forgiven_slip, same_word
from recall.base.text import one_slip

NOTES = [note.read_text(encoding="utf-8") for note in (Path(__file__).parents[2] / "decks").rglob("*.md")]


def misspellings() -> dict[str, str]:
    """Each misspelling with its one right spelling."""
    text = (Path(codespell_lib.__file__).parent / "data" / "dictionary.txt").read_text(encoding="utf-8")
    pairs = (line.split("->") for line in text.casefold().splitlines() if "->" in line)
    return {wrong: right for wrong, right in pairs if right.isalpha() and wrong.isalpha() and wrong.isascii()}


def real_pairs(words: set[str]) -> set[tuple[str, str]]:
    """Words one slip apart, but for plurals."""
    near: dict[str, set[str]] = defaultdict(set)
    for word in words:
        for key in (word, *(word[:at] + word[at + 1 :] for at in range(len(word)))):
            near[key].add(word)
    pairs = {(one, two) for group in near.values() for one in group for two in group}
    return {(one, two) for one, two in pairs if one_slip(one, two) and not same_word(one, two)}


def nothing(_: str) -> bool:
    """No deck."""
    return False


def main() -> None:
    """Print the rates."""
    pairs = misspellings()
    long = {wrong: right for wrong, right in pairs.items() if len(right) >= SHORTEST}
    one = {wrong: right for wrong, right in long.items() if one_slip(wrong, right)}
    forgiven = sum(forgiven_slip(wrong, right, nothing) for wrong, right in one.items())
    print(f"misspellings of words of {SHORTEST} letters or more: {len(long)}; one slip away: {len(one)}")
    print(f"  forgiven: {forgiven} ({100 * forgiven / len(one):.1f} %)")
    others = len(long) - len(one)
    taken = sum(forgiven_slip(wrong, right, nothing) for wrong, right in long.items() if wrong not in one)
    print(f"  more than one slip: {others}, forgiven: {taken}")
    for name, words in (
        ("of that list", set(pairs.values())),
        ("of the demo decks", {word for note in NOTES for word in re.findall(r"[a-z]+", note.casefold())}),
    ):
        real = real_pairs({word for word in words if len(word) >= SHORTEST})
        mistaken = sum(forgiven_slip(one, two, nothing) for one, two in real)
        print(
            f"right words {name} that are one slip apart: {len(real)} pairs; taken for a slip: {mistaken}",
            end="",
        )
        print(
            f", in a deck that holds them: {sum(forgiven_slip(*pair, words.__contains__) for pair in real)}"
        )


if __name__ == "__main__":
    main()
