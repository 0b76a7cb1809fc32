"""The supply graph of a deck: what is lost when one thing fails, what lives on, what the crew can bring back."""

import difflib
from collections import defaultdict, deque
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from functools import cached_property

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.base.finding import Place
from recall.base.text import key_form, shown
from recall.kinds.model import Point
from recall.kinds.supplies.names import Backup, alternatives
from recall.kinds.supplies.rows import backups_of

_NEAR = 0.6
_MOST_NEAR = 4


@dataclass(frozen=True, slots=True)
class Feed:
    """One load of one source, both as keys. needs: groups of keys, one of each must be alive; backups: in the
    order in which they take over, with keys as names (empty: by hand, from nothing that the notes name)."""

    source: str
    load: str
    needs: tuple[tuple[str, ...], ...]
    backups: tuple[Backup, ...]
    point: Point
    place: Place

    @property
    def automatic(self) -> tuple[str, ...]:
        """What takes over by itself."""
        return tuple(backup.name for backup in self.backups if not backup.manual)

    def fed(self, dead: Collection[str]) -> bool:
        """Whether its source is alive with all that it also needs."""
        return self.source not in dead and self._needs_met(dead)

    def backed_up(self, dead: Collection[str], *, by_hand: bool) -> Backup | None:
        """Its first backup that is alive, where what it needs is too."""
        if not self._needs_met(dead):
            return None
        usable = (backup for backup in self.backups if by_hand or not backup.manual)
        return next((backup for backup in usable if backup.name not in dead), None)

    def _needs_met(self, dead: Collection[str]) -> bool:
        return all(any(key not in dead for key in group) for group in self.needs)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What follows when one thing fails, or several, and all else is healthy; names as the notes write them.

    failed: several are joined by `and`. lost: in order of stages, without what failed itself. kept: load → the
    backup that took over by itself. still: load → another source that feeds it too. manual: lost load → the backup
    that the crew must select. restored: the lost loads that come back once the crew has acted on all of `manual`.
    chain: lost load → the way from the nearest failed thing to it, both ends included.
    """

    failed: str
    lost: tuple[str, ...] = ()
    kept: Mapping[str, str] = field(default_factory=dict)
    still: Mapping[str, str] = field(default_factory=dict)
    manual: Mapping[str, Backup] = field(default_factory=dict)
    restored: tuple[str, ...] = ()
    chain: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


class Supplies:
    """All that feeds and is fed. names: key → name as first written; feeds: in the order of the notes."""

    def __init__(self, points: Iterable[Point], applies: Callable[[str], bool] = lambda _: True) -> None:
        """points: of a deck, in order; those of other kinds are passed over. applies: which `Applies to` counts."""
        supplied = [point for point in points if point.kind == "supply" and applies(point.applies)]
        rows = [(point, row) for point in supplied for row in point.parts]
        said = {key_form(point.subject): backups_of(point) for point in supplied if "backs" in point.fields}
        self.names: dict[str, str] = {}
        for _, row in rows:
            for name in (row.subject, *row.fields["feeds"]):
                self.names.setdefault(key_form(name), name)
        self._fed = frozenset(self.names)
        feeds = []
        for point, row in rows:
            needs = tuple(tuple(map(self._key, alternatives(name))) for name in row.fields["needs"])
            source = key_form(row.subject)
            for load in row.fields["feeds"]:
                backups = tuple(
                    Backup(self._key(backup.name) if backup.name else "", backup.manual, backup.how)
                    for backup in (*backups_of(row), *said.get(key_form(load), ()))
                )
                feeds.append(Feed(source, key_form(load), needs, backups, point, row.place))
        self.feeds: tuple[Feed, ...] = tuple(feeds)

    def _key(self, name: str) -> str:
        """The key of a need or backup; its bracket and a word such as `manual` aside where that makes it known."""
        whole = key_form(name)
        if whole not in self._fed:
            for shorter in (whole.partition(" (")[0], key_form(whole.removeprefix("manual "))):
                if shorter in self._fed:
                    return shorter
        self.names.setdefault(whole, name)
        return whole

    @cached_property
    def feeding(self) -> Mapping[str, Sequence[Feed]]:
        """Load → the rows that feed it."""
        feeding: dict[str, list[Feed]] = defaultdict(list)
        for feed in self.feeds:
            feeding[feed.load].append(feed)
        return dict(feeding)

    @cached_property
    def dependents(self) -> Mapping[str, Sequence[str]]:
        """Key → the loads that may feel its failure: fed by it, backed up by it without a hand, or needing it."""
        dependents: dict[str, dict[str, None]] = defaultdict(dict)
        for feed in self.feeds:
            for key in (feed.source, *feed.automatic, *(key for group in feed.needs for key in group)):
                dependents[key].setdefault(feed.load)
        return {key: tuple(loads) for key, loads in dependents.items()}

    @cached_property
    def sources(self) -> Mapping[str, None]:
        """Keys of all that feeds something, in the order of the notes."""
        return dict.fromkeys(feed.source for feed in self.feeds)

    def find(self, name: str) -> str:
        """The key of a name as a person types it. Raises RecallError, with near names, where nothing has it."""
        whole = key_form(name)
        if whole in self.names:
            return whole
        alike = [key for key in self.names if key.replace("-", " ") == whole.replace("-", " ")]
        if len(alike) == 1:
            return alike[0]
        near = difflib.get_close_matches(whole, self.names, _MOST_NEAR, _NEAR)
        near += [known for known in self.names if whole in known and known not in near]
        named = ", ".join(f"`{self.names[key]}`" for key in near[:_MOST_NEAR])
        raise RecallError(
            f"nothing is named `{shown(name)}` in these supplies",
            f"near it: {named}" if near else "run it without a name to see them all",
        )

    def reach(self, *keys: str, most: int | None = None) -> list[str] | None:
        """Everything that their failure may touch, in order of stages; None where that is more than `most`."""
        found = dict.fromkeys(keys)
        waiting = deque(found)
        while waiting:
            for load in self.dependents.get(waiting.popleft(), ()):
                if load not in found:
                    found[load] = None
                    waiting.append(load)
                    if most is not None and len(found) > most:
                        return None
        return [key for key in found if key not in keys]

    def lost(self, *names: str, touched: Sequence[str] | None = None) -> Outcome:
        """What follows when the things of these names alone fail. touched: their `reach`, where it is known.

        Alive is the least fixed point: a load is alive where some row feeds it whose source, or an automatic
        backup, is alive with all that the row also needs; a thing that nothing feeds is alive until it fails.
        """
        failed = tuple(dict.fromkeys(map(self.find, names)))
        touched = self.reach(*failed) or () if touched is None else touched
        dead = self._dead(failed, touched, by_hand=False)
        dead_for_good = self._dead(failed, touched, by_hand=True) if self._by_hand else dead
        came = self._came(failed, dead)
        lost = [key for key in came if key not in failed]
        kept: dict[str, str] = {}
        still: dict[str, str] = {}
        manual: dict[str, Backup] = {}
        for key in touched:
            if key not in dead:
                self._lives(key, dead, kept, still)
        back = [key for key in lost if key not in dead_for_good]
        for key in back:
            for feed in self.feeding[key]:
                hand = feed.backed_up(dead_for_good, by_hand=True)
                if hand is not None and hand.manual and feed.source in dead_for_good:
                    manual[self.names[key]] = Backup(self.names.get(hand.name, ""), True, hand.how)
                    break
        dead_named, lost_named, back_named = (
            tuple(self.names[key] for key in keys) for keys in (failed, lost, back)
        )
        chain = {self.names[key]: tuple(self.names[way] for way in came[key]) for key in lost}
        return Outcome(" and ".join(dead_named), lost_named, kept, still, manual, back_named, chain)

    def _dead(self, failed: Sequence[str], touched: Sequence[str], *, by_hand: bool) -> set[str]:
        return self._settled({*failed, *touched, *self.never}, touched, failed, by_hand=by_hand)

    @cached_property
    def never(self) -> frozenset[str]:
        """What is dead even with everything healthy: it feeds or needs itself, and nothing else starts it."""
        return frozenset(self._settled(set(self.feeding), self.feeding, (), by_hand=False))

    def _settled(
        self, dead: set[str], doubtful: Iterable[str], failed: Sequence[str], *, by_hand: bool
    ) -> set[str]:
        """What stays dead once everything doubtful that some row keeps alive is taken out, over and over."""
        waiting = deque(doubtful)
        while waiting:
            key = waiting.popleft()
            rows = self.feeding[key] if key in dead else ()
            if any(feed.fed(dead) or feed.backed_up(dead, by_hand=by_hand) for feed in rows):
                dead.discard(key)
                helped = (*self.dependents.get(key, ()), *(self._by_hand.get(key, ()) if by_hand else ()))
                waiting.extend(load for load in helped if load in dead and load not in failed)
        return dead

    @cached_property
    def _by_hand(self) -> Mapping[str, Sequence[str]]:
        ties: dict[str, list[str]] = defaultdict(list)
        for feed in self.feeds:
            for backup in feed.backups:
                if backup.manual:
                    ties[backup.name].append(feed.load)
        return dict(ties)

    def _came(self, failed: Sequence[str], dead: set[str]) -> dict[str, tuple[str, ...]]:
        """Dead key → the shortest way through dead things from a failed one."""
        came: dict[str, tuple[str, ...]] = {key: (key,) for key in failed}
        waiting = deque(failed)
        while waiting:
            key = waiting.popleft()
            for load in self.dependents.get(key, ()):
                if load in dead and load not in came:
                    came[load] = (*came[key], load)
                    waiting.append(load)
        return came

    def _lives(self, key: str, dead: set[str], kept: dict[str, str], still: dict[str, str]) -> None:
        """Say by what a load lives on whose source is dead."""
        feeding = self.feeding[key]
        if not any(feed.source in dead for feed in feeding):
            return
        other = next((feed for feed in feeding if feed.fed(dead)), None)
        if other is not None:
            still[self.names[key]] = self.names[other.source]
        else:
            backup = next(found for feed in feeding if (found := feed.backed_up(dead, by_hand=False)))
            kept[self.names[key]] = self.names[backup.name]
