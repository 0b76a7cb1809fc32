"""`recall cards`: the cards of a deck, to look over."""

from typing import Any

from recall.base.text import count
from recall.cli.options import JsonOption, PathArgument
from recall.cli.output import json_line, say, wrapped


def cards(path: PathArgument, json: JsonOption = False) -> None:
    """Show the cards that notes make, to look them over.

    The id of each stands before its kind; `history` and `remark` take it.

    Example: recall cards decks/skerry
    """
    from recall.cli.decks import read_all
    from recall.store.seek import short_ids

    total = points = findings = 0
    for deck, found in read_all(path):
        findings += len(found)
        points += len({card.point for card in deck.cards})
        total += len(deck.cards)
        place = ""
        short = short_ids(card.id for card in deck.cards)
        for card in deck.cards:
            row: dict[str, Any] = {
                "id": card.id,
                "deck": card.deck,
                "point": card.point,
                "kind": card.kind,
                "aspect": card.aspect,
                "topic": list(card.topic),
                "prompt": card.prompt,
                "answer": list(card.answer.texts),
                "critical": card.critical,
                "file": deck.source.named(card.file),
                "line": card.line,
                "cite": card.cite,
            }
            if json:
                json_line(row)
                continue
            here = f"{' / '.join(card.topic) or deck.record.title or card.deck}"
            if here != place:
                say(f"\n{here}" if place else here)
                place = here
            _one(row, short[card.id])
    if not json:
        say(
            f"\n{count(total, 'card')} of {count(points, 'point')}, {count(findings, 'finding')}"
            f" (`recall lint {path}`)."
        )


def _one(row: dict[str, Any], short: str) -> None:
    mark = "! " if row["critical"] else "  "
    say(wrapped(row["prompt"], indent="      ", first=f"  {mark}  "))
    answer = "; ".join(row["answer"]) or "(a reading, drawn afresh each time)"
    say(wrapped(answer, indent="          ", first="        = "))
    cite = f"{row['cite']}, " if row["cite"] else ""
    say(
        wrapped(
            f"{short}: {row['kind']}, {row['aspect']}. {cite}{row['file']} line {row['line']}",
            indent="          ",
        )
    )
