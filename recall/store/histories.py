"""Which answers count for which card: reviews in the order of replay, under the revisions in force."""

import json
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from recall.store.core import Core, placed
from recall.store.events import writer_of
from recall.store.revisions import place_of

HISTORY, EARLIER, COUNTS = 0, 1, 2
"""An answer that is only history; that a memory once rested on; that it rests on now."""

_CHUNK = 500
_FIELDS = "card, day, mark, answer, id, no"


@dataclass(frozen=True, slots=True)
class Target:
    """A card as far as its history goes; the names are those of the card table."""

    no: int
    id: str
    answer: str
    epoch: str | None
    linked: bool
    critical: bool
    renewed: int | None


@dataclass(slots=True)
class Histories:
    """Reviews in columns, of one length; those of a card stand in the order of replay. card: index in targets; kind:
    HISTORY, EARLIER or COUNTS; event: row number of the event."""

    targets: list[Target]
    card: list[int] = field(default_factory=list)
    day: list[int] = field(default_factory=list)
    mark: list[int] = field(default_factory=list)
    kind: list[int] = field(default_factory=list)
    event: list[int] = field(default_factory=list)


def targets_of(core: Core, ids: Collection[str] | None) -> list[Target]:
    """Cards by id; None: all."""
    sql = "SELECT no, id, answer, epoch, linked, critical, renewed FROM card"
    rows = core.rows(sql) if ids is None else by_id(core, f"{sql} WHERE id IN", ids)
    return [Target(no, id, a, epoch, bool(linked), bool(c), r) for no, id, a, epoch, linked, c, r in rows]


def by_id(core: Core, sql: str, ids: Collection[str]) -> Iterator[tuple[Any, ...]]:
    """Rows of a query that ends in `IN`, for any number of ids."""
    listed = list(ids)
    for at in range(0, len(listed), _CHUNK):
        part = listed[at : at + _CHUNK]
        yield from core.rows(f"{sql} ({', '.join('?' * len(part))})", part)


def read_histories(core: Core, targets: Sequence[Target], *, whole: bool = False) -> Histories:
    """All reviews that concern the targets, undone ones left out.

    whole: read the table through instead of looking each card up; pays when most cards are wanted.
    """
    found = Histories(list(targets))
    index = {target.id: at for at, target in enumerate(targets)}
    plain = {target.id: target.answer for target in targets if not target.linked and target.epoch is None}
    special = [target for target in targets if target.id not in plain]
    corrections = core.corrections()
    live = "AND id NOT IN (SELECT review FROM undone)" if core.one("SELECT 1 FROM undone") else ""
    rows: Iterator[tuple[Any, ...]] | Any
    if whole:
        rows = core.db.execute(f"SELECT {_FIELDS} FROM event WHERE type = 'reviewed' {live}")
    else:
        rows = by_id(core, f"SELECT {_FIELDS} FROM event WHERE type = 'reviewed' {live} AND card IN", plain)
    ordered: list[tuple[int, str, int, int, int, int]] = []
    keep = ordered.append
    for card, day, mark, answer, id, no in rows:
        current = plain.get(card)
        if current is not None:
            keep((index[card], id, day, mark, COUNTS if answer == current else EARLIER, no))
    if corrections:
        ordered = [_corrected(row, corrections) for row in ordered]
    if special:
        ordered += _special(core, special, index, corrections, live)
    ordered.sort()
    found.card, _, found.day, found.mark, found.kind, found.event = (
        (list(column) for column in zip(*ordered, strict=True)) if ordered else ([], [], [], [], [], [])
    )
    return found


def _corrected(
    row: tuple[int, str, int, int, int, int], corrections: dict[str, tuple[int, int]]
) -> tuple[int, str, int, int, int, int]:
    card, id, day, mark, kind, no = row
    _, days = corrections.get(writer_of(id), (0, 0))
    return card, placed(id, corrections), day + days, mark, kind, no


def _special(
    core: Core,
    targets: Sequence[Target],
    index: dict[str, int],
    corrections: dict[str, tuple[int, int]],
    live: str,
) -> list[tuple[int, str, int, int, int, int]]:
    """Reviews of cards whose answer changed or whose history moved, each weighed by its place."""
    ways = Ways(core, [target.id for target in targets])
    wanted = {target.id: target for target in targets}
    found = []
    for card, day, mark, answer, id, no, body in by_id(
        core, f"SELECT {_FIELDS}, body FROM event WHERE type = 'reviewed' {live} AND card IN", ways.sources
    ):
        plain = json.loads(body)
        place = place_of(ways.rank(card, plain["deck"]), plain["revision"], placed(id, corrections))
        target = wanted.get(ways.end(card, place))
        if target is None:
            continue
        counts = answer == target.answer and (target.epoch is None or place >= target.epoch)
        row = (index[target.id], id, day, mark, COUNTS if counts else EARLIER, no)
        found.append(_corrected(row, corrections) if corrections else row)
    return found


class Ways:
    """Where histories move: the links that lead to some cards, and on from there."""

    def __init__(self, core: Core, ids: Sequence[str]) -> None:
        self.sources: set[str] = set(ids)
        self.links: dict[str, list[tuple[str, str]]] = {}
        wave: Collection[str] = self.sources
        lines: set[str] = set()
        while wave:
            rows = list(by_id(core, "SELECT source, line FROM link WHERE target IN", wave))
            lines |= {line for _, line in rows}
            wave = {source for source, _ in rows} - self.sources
            self.sources |= wave
        for source, place, target, line in by_id(
            core, "SELECT source, place, target, line FROM link WHERE source IN", self.sources
        ):
            self.links.setdefault(source, []).append((place, target))
            lines.add(line)
        for found in self.links.values():
            found.sort()
        self.ranks = {
            slug: rank
            for head in lines
            for rank, slug in enumerate(json.loads(core.one("SELECT chain FROM deck WHERE slug = ?", [head])))
        }
        self.present = {
            row[0] for row in by_id(core, "SELECT id FROM card WHERE present = 1 AND id IN", self.sources)
        }

    def rank(self, card: str, deck: str) -> int:
        """Rank of a deck's slug in the chain of its names."""
        return self.ranks.get(deck, 0)

    def end(self, card: str, place: str) -> str:
        """The card that an answer to `card`, given at `place`, belongs to now."""
        seen = {card}
        while True:
            ahead = [link for link in self.links.get(card, ()) if link[0] > place]
            if not ahead and card not in self.present:
                ahead = self.links.get(card, [])[-1:]
                if ahead and ahead[0][1] in seen:
                    return card
            if not ahead:
                return card
            place, card = max(place, ahead[0][0]), ahead[0][1]
            seen.add(card)
