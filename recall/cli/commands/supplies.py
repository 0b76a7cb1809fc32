"""`recall supplies`: what feeds what, and what is lost when something fails."""

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from recall.base.errors import RecallError
from recall.base.files import write_file
from recall.base.text import CAUTION, fields_of
from recall.cli.options import JsonOption, PathArgument, option, see_errors
from recall.cli.output import json_line, say

if TYPE_CHECKING:
    from recall.deck.model import Deck
    from recall.deck.supply import Outcome, Supplies
    from recall.deck.supply_aircraft import Aircraft


def supplies(
    path: PathArgument,
    lost: Annotated[
        list[str] | None,
        option("--lost NAME", "What is lost when this fails; given again, when all these fail."),
    ] = None,
    svg: Annotated[
        Path | None,
        option("--svg FILE", "Draw the supplies into this file, with --lost what is dead marked."),
    ] = None,
    json: JsonOption = False,
) -> None:
    """Show what feeds what, or what follows when one thing fails.

    Example: recall supplies decks/skerry --lost "Main bus 1"
    """
    from recall.deck.supply import Supplies
    from recall.deck.supply_tree import no_supplies
    from recall.publish.places import read_all

    failed = list(dict.fromkeys(lost or ()))
    if not all(name.strip() for name in failed):
        raise RecallError("nothing was named as lost", 'name a thing: recall supplies PATH --lost "NAME"')
    all_here = [deck for deck, _ in read_all(path)]
    decks = [(deck, known) for deck in all_here if (known := Supplies(deck.points)).feeds]
    if not decks:
        raise no_supplies(path)
    if svg is not None:
        _draw(decks, svg, failed)
    if failed:
        _lost(decks, failed, json)
    elif json:
        for deck, known in decks:
            _rows(deck, known)
    elif svg is None:
        _tree(decks)
    if not json:
        say(f"\n{CAUTION}")
    see_errors(path, all_here)


def _draw(decks: "Sequence[tuple[Deck, Supplies]]", svg: Path, failed: "Sequence[str]") -> None:
    from recall.deck.supply_tree import outcomes
    from recall.publish.diagram.svg import drawn

    if len(decks) > 1:
        raise RecallError("there are several decks with supplies here", "name one of their folders")
    deck, known = decks[0]
    words: dict[str, str] = {}
    if failed:
        found = outcomes(deck.points, *failed)
        if len(found) > 1:
            raise RecallError(
                "the aircraft differ in what is lost, and a drawing shows one", "leave out --svg, or --lost"
            )
        words = {known.find(name): "dead" for name in found[0][1].lost}
        words |= {known.find(name): "failed" for name in failed}
    written = drawn(known, deck.record.title or deck.record.deck, deck.record.marking, words)
    write_file(svg, written.encode())
    sys.stderr.write(f"drawn into {svg}\n")


def _lost(decks: "Sequence[tuple[Deck, Supplies]]", failed: "Sequence[str]", json: bool) -> None:
    from recall.deck.supply_told import told
    from recall.deck.supply_tree import outcomes

    knowing = []
    missing: RecallError | None = None
    for deck, known in decks:
        try:
            for name in failed:
                known.find(name)
            knowing.append(deck)
        except RecallError as error:
            missing = missing or error
    if not knowing and missing is not None:
        raise missing
    for deck in knowing:
        for aircraft, outcome in outcomes(deck.points, *failed):
            if json:
                json_line(_as_json(deck, aircraft, outcome))
                continue
            if len(knowing) > 1:
                say(f"{deck.record.title or deck.record.deck}")
            for sentence in told(aircraft, outcome, several=len(failed) > 1):
                say(sentence, indent="  ", first="")


def _tree(decks: "Sequence[tuple[Deck, Supplies]]") -> None:
    from recall.deck.supply_tree import branches

    for at, (deck, known) in enumerate(decks):
        if len(decks) > 1:
            say(f"{chr(10) if at else ''}{deck.record.title or deck.record.deck}")
        for branch in branches(known):
            trunk = "".join("   " if last else "│  " for last in branch.last[:-1])
            twig = ("└─ " if branch.last[-1] else "├─ ") if branch.last else ""
            notes = f" ({'; '.join(branch.notes)})" if branch.notes else ""
            below = trunk + ("   " if not branch.last or branch.last[-1] else "│  ") + "   "
            say(branch.name + notes, indent=below, first=trunk + twig)


def _rows(deck: "Deck", known: "Supplies") -> None:
    names = known.names
    for feed in known.feeds:
        row = {
            "deck": deck.record.deck,
            "source": names[feed.source],
            "load": names[feed.load],
            "needs": [[names[key] for key in group] for group in feed.needs],
            "backup": [names[key] for key in feed.automatic],
            "manual": [names.get(backup.name, "") for backup in feed.backups if backup.manual],
            "applies": feed.point.applies,
        }
        json_line({**row, "file": deck.source.named(feed.place.file), "line": feed.place.line})


def _as_json(deck: "Deck", aircraft: "Sequence[Aircraft]", outcome: "Outcome") -> dict[str, Any]:
    return {
        "deck": deck.record.deck,
        "aircraft": [one.text for one in aircraft],
        **fields_of(outcome, "failed", "lost", "kept", "still"),
        "manual": {load: {"from": by.name, "how": by.how} for load, by in outcome.manual.items()},
        **fields_of(outcome, "restored", "chain"),
    }
