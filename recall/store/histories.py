"""Which answers count for which card: reviews in the order of replay, under the revisions in force."""

import json
from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from recall.base.dataclass import dataclass
from recall.store.core import Core, by_id, placed, spread
from recall.store.events import writer_of
from recall.store.revisions import place_of

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Ints = NDArray[np.int64]

EARLIER, COUNTS = 1, 2
"""An answer that is history, to an earlier wording; one that the memory rests on."""

_ROWS = 100_000
_WIDTH = 20
"""Digits of a card's id and of the hash of an answer."""
_FIELDS = "card, day, mark, answer, id, no"


class Placed(NamedTuple):
    """A review. card: index of its target; place: its id in the order of replay; kind: EARLIER or COUNTS; no: the row
    of its event."""

    card: int
    place: str
    day: int
    mark: int
    kind: int
    no: int


@dataclass(frozen=True, slots=True)
class Target:
    """A card as far as its history goes; the names are those of the card table. same: further hashes of its answer in
    this epoch, between blanks."""

    no: int
    id: str
    answer: str
    same: str
    epoch: str | None
    linked: bool
    critical: bool
    renewed: int | None

    @property
    def answers(self) -> tuple[str, ...]:
        """All hashes that its answer has or had in this epoch."""
        return (self.answer, *self.same.split())


@dataclass(slots=True)
class Arrays:
    """Reviews in columns, of one length, as int64 arrays; those of a card stand together, in the order of replay."""

    targets: list[Target]
    card: "Ints"
    day: "Ints"
    mark: "Ints"
    kind: "Ints"


def targets_of(core: Core, ids: Collection[str] | None) -> list[Target]:
    """Cards by id; None: all."""
    sql = "SELECT no, id, answer, same, epoch, linked, critical, renewed FROM card"
    rows = core.rows(sql) if ids is None else by_id(core, f"{sql} WHERE id IN", ids)
    return [Target(no, id, a, same, e, bool(linked), bool(c), r) for no, id, a, same, e, linked, c, r in rows]


def read_histories(core: Core, targets: Sequence[Target]) -> list[Placed]:
    """All reviews that concern the targets, undone ones left out; those of a card stand together, in the order of
    replay."""
    plain, special, index = _split(targets)
    corrections, live = core.corrections(), _live(core)
    ordered: list[Placed] = []
    for card, day, mark, answer, id, no in by_id(
        core, f"SELECT {_FIELDS} FROM event WHERE type = 'reviewed' {live} AND card IN", plain
    ):
        row = Placed(index[card], id, day, mark, COUNTS if answer in plain[card] else EARLIER, no)
        ordered.append(_corrected(row, corrections) if corrections else row)
    return sorted([*ordered, *_special(core, special, index, corrections, live)])


def read_many(core: Core, targets: Sequence[Target]) -> Arrays:
    """The same for most cards of a store, read through from end to end."""
    import numpy as np

    corrections, live = core.corrections(), _live(core)
    if corrections:
        return as_arrays(core, targets)
    _, special, index = _split(targets)
    parts = list(_plain_parts(core, targets, live))
    for at, id, day, mark, kind_of, no in _special(core, special, index, corrections, live):
        parts.append(np.array([[at], [day], [mark], [int(id[:13])], [no], [kind_of]], np.int64))
    table = np.concatenate(parts, axis=1) if parts else np.zeros((6, 0), np.int64)
    table = table[:, np.lexsort((table[3], table[0]))]
    _untie(core, table)
    return Arrays(list(targets), table[0], table[1], table[2], table[5])


def _plain_parts(core: Core, targets: Sequence[Target], live: str) -> Iterator["Ints"]:
    """Reviews of cards whose history is their own: index of the card, day, mark, moment, row number and kind.

    SQLite joins each column of a stretch of rows into one text, which numpy reads several times faster than rows.
    """
    import numpy as np

    width = f"S{_WIDTH}"
    order = sorted(
        (at for at, target in enumerate(targets) if _is_plain(target)), key=lambda at: targets[at].id
    )
    if not order:
        return
    ids = np.array([targets[at].id for at in order], width)
    answers = np.array([targets[at].answer for at in order], width)
    several = np.array([bool(targets[at].same) for at in order])
    where = np.array(order, np.int64)
    last = int(core.one("SELECT max(no) FROM event"))
    for start in range(0, last, _ROWS):
        columns = core.rows(
            "SELECT group_concat(card, ''),"
            f" group_concat(iif(length(CAST(answer AS BLOB)) = {_WIDTH}, answer, ?), ''),"
            " group_concat(day * 8 + mark), group_concat(substr(id, 1, 13)), group_concat(no) FROM event"
            f" WHERE no > ? AND no <= ? AND type = 'reviewed' AND length(CAST(card AS BLOB)) = {_WIDTH} {live}",
            ["-" * _WIDTH, start, start + _ROWS],
        )[0]
        if columns[0] is None:
            continue
        cards, given = (np.frombuffer(text.encode(), width) for text in columns[:2])
        days, at, no = (np.fromstring(text, np.int64, sep=",") for text in columns[2:])
        found = np.minimum(np.searchsorted(ids, cards), len(ids) - 1)
        kind = np.where(answers[found] == given, COUNTS, EARLIER)
        for row in np.flatnonzero((kind == EARLIER) & several[found] & (ids[found] == cards)).tolist():
            if given[row].decode() in targets[order[found[row]]].answers:
                kind[row] = COUNTS
        yield np.array([where[found], days >> 3, days & 7, at, no, kind])[:, ids[found] == cards]


def as_arrays(core: Core, targets: Sequence[Target]) -> Arrays:
    """The same for some cards of a store."""
    import numpy as np

    rows = [(one.card, one.day, one.mark, one.kind) for one in read_histories(core, targets)]
    return Arrays(list(targets), *np.array(rows, np.int64).reshape(-1, 4).T)


def _untie(core: Core, table: "Ints") -> None:
    """Put answers to one card in the same millisecond into the order of their ids."""
    import numpy as np

    twins = np.flatnonzero((table[0, 1:] == table[0, :-1]) & (table[3, 1:] == table[3, :-1]))
    if not twins.size:
        return
    places = np.union1d(twins, twins + 1)
    numbers = table[4, places].tolist()
    ids = dict(by_id(core, "SELECT no, id FROM event WHERE no IN", numbers))
    order = sorted(
        range(len(places)), key=lambda at: (table[0, places[at]], table[3, places[at]], ids[numbers[at]])
    )
    table[:, places] = table[:, places[order]]


def _split(targets: Sequence[Target]) -> tuple[dict[str, tuple[str, ...]], list[Target], dict[str, int]]:
    """Cards whose history is their own with their answers, the others, and the index of each."""
    plain = {target.id: target.answers for target in targets if _is_plain(target)}
    special = [target for target in targets if not _is_plain(target)]
    return plain, special, {target.id: at for at, target in enumerate(targets)}


def _is_plain(target: Target) -> bool:
    return not target.linked and target.epoch is None


def _live(core: Core) -> str:
    """The condition that leaves out what was undone."""
    return "AND id NOT IN (SELECT review FROM undone)" if core.one("SELECT 1 FROM undone") else ""


def _corrected(row: Placed, corrections: dict[str, tuple[int, int]]) -> Placed:
    _, days = corrections.get(writer_of(row.place), (0, 0))
    return row._replace(place=placed(row.place, corrections), day=row.day + days)


def _special(
    core: Core,
    targets: Sequence[Target],
    index: dict[str, int],
    corrections: dict[str, tuple[int, int]],
    live: str,
) -> list[Placed]:
    """Reviews of cards whose answer changed or whose history moved, each weighed by its place."""
    if not targets:
        return []
    ways = Ways(core, [target.id for target in targets])
    wanted = {target.id: target for target in targets}
    found = []
    for card, day, mark, answer, id, no, body in by_id(
        core, f"SELECT {_FIELDS}, body FROM event WHERE type = 'reviewed' {live} AND card IN", ways.sources
    ):
        plain = json.loads(body)
        place = place_of(ways.rank(plain["deck"]), plain["revision"], placed(id, corrections))
        target = wanted.get(ways.end(card, place))
        if target is None:
            continue
        counts = answer in target.answers and (target.epoch is None or place >= target.epoch)
        row = Placed(index[target.id], id, day, mark, COUNTS if counts else EARLIER, no)
        found.append(_corrected(row, corrections) if corrections else row)
    return found


class Ways:
    """Where histories move: the links that lead to some cards, and on from there."""

    def __init__(self, core: Core, ids: Sequence[str]) -> None:
        self.sources, _ = spread(core, "SELECT source FROM link WHERE target IN", ids)
        sql = "SELECT source, place, target FROM link WHERE source IN"
        followed, rows = spread(core, sql, self.sources)
        self.links: dict[str, list[tuple[str, str]]] = {}
        for source, place, target in rows:
            self.links.setdefault(source, []).append((place, target))
        for found in self.links.values():
            found.sort()
        chains = core.rows("SELECT chain FROM deck")
        self.ranks = {slug: rank for (chain,) in chains for rank, slug in enumerate(json.loads(chain))}
        self.present = {
            row[0] for row in by_id(core, "SELECT id FROM card WHERE present = 1 AND id IN", followed)
        }

    def rank(self, deck: str) -> int:
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


def now_called(core: Core, review: str, card: str) -> str:
    """The card that a review belongs to now, by the review's id and the card that it named."""
    plain = json.loads(core.one("SELECT body FROM event WHERE id = ?", [review]))
    ways = Ways(core, [card])
    place = place_of(ways.rank(plain["deck"]), plain["revision"], placed(review, core.corrections()))
    return ways.end(card, place)
