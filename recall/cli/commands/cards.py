"""`recall cards`: the cards of a deck, to look over."""

from collections import Counter
from pathlib import Path
from shlex import quote
from typing import Annotated, Any

from typer import Option

from recall.base.text import count, fields_of, shown
from recall.cli.options import JsonOption, PathArgument, see_errors
from recall.cli.output import json_line, say

_MOST_SHOWN = 60


def cards(
    path: PathArgument,
    json: JsonOption = False,
    unread: Annotated[
        bool,
        Option("--unread", help="List the pieces of the notes that make no card instead, each with why."),
    ] = False,
) -> None:
    """Show the cards that notes make, to look them over.

    The id of each stands before its kind; `history` and `remark` take it. With `--unread`: what isn't asked nor shown
    with an answer, line by line, and why.

    Example: recall cards decks/skerry
    """
    if unread:
        _unread(path, json=json)
        return
    from recall.publish.places import read_all
    from recall.store.seek import short_ids

    total = points = findings = 0
    decks = []
    for deck, found in read_all(path):
        decks.append(deck)
        findings += len(found)
        points += len({card.point for card in deck.cards})
        total += len(deck.cards)
        place = ""
        short = short_ids(card.id for card in deck.cards)
        for card in deck.cards:
            row = fields_of(card, "id", "deck", "point", "kind", "aspect", "topic", "prompt")
            row |= {"answer": card.answer.texts, **fields_of(card, "critical", "file", "line", "cite")}
            row["file"] = deck.source.named(card.file)
            if json:
                json_line(row)
                continue
            here = " / ".join(card.topic) or deck.record.title or card.deck
            if here != place:
                say(f"\n{here}" if place else here)
                place = here
            _one(row, short[card.id])
    if not json:
        say(
            f"\n{count(total, 'card')} of {count(points, 'point')}, {count(findings, 'finding')}"
            f" (`recall lint {quote(str(path))}`)."
        )
    see_errors(path, decks)


def _unread(path: Path, *, json: bool) -> None:
    from recall.deck.held import Held
    from recall.deck.read import read_written
    from recall.deck.source import find_sources
    from recall.kinds.fates import ENDINGS

    ends: Counter[str] = Counter()
    decks = []
    for source in find_sources(path):
        written = read_written(source, Held())
        decks.append(written.deck)
        for fate in (fate for note in written.notes for fate in written.fates(note)):
            ends[fate.fate] += 1
            if fate.fate in ("asked", "shown"):
                continue
            file, line = source.named(fate.place.file), fate.place.line
            if json:
                json_line({"file": file, "line": line, **fields_of(fate, "piece", "words", "fate", "why")})
                continue
            words = shown(fate.words)
            words = words if len(words) <= _MOST_SHOWN else words[:_MOST_SHOWN].rstrip() + "…"
            say(f"{file}:{line}: {fate.piece} `{words}`", indent="    ")
            say(f"{fate.fate}: {shown(fate.why)}", indent="        ", first="    ")
    if not json:
        said = ", ".join(f"{ends[end]} {end}" for end in ENDINGS)
        say(f"\n{count(ends.total(), 'piece')}: {said}.")
    see_errors(path, decks)


def _one(row: dict[str, Any], short: str) -> None:
    mark = "! " if row["critical"] else "  "
    say(row["prompt"], indent="      ", first=f"  {mark}  ")
    answer = "; ".join(row["answer"]) or "(a reading, drawn afresh each time)"
    say(answer, indent="          ", first="        = ")
    cite = f"{row['cite']}, " if row["cite"] else ""
    where = f"{cite}{row['file']} line {row['line']}"
    say(f"{short}: {row['kind']}, {row['aspect']}. {where}", indent="          ")
