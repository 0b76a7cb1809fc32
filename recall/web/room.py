"""What the pages share: one open store, and the sittings that are under way in it."""

import random
from asyncio import Lock
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from anyio.to_thread import run_sync

from recall.base.clock import Clock
from recall.store import Store

if TYPE_CHECKING:
    from recall.cohort.view import Class

Value = TypeVar("Value")


def events_so_far(store: Store) -> object:
    """What is the same as long as nothing was kept and the day is the same."""
    return store.one("SELECT max(no) FROM event"), store.today()


class Room:
    """One person's store, held open from the first page on. decks: slugs that are asked, empty for all; notes: a
    folder that is being written in; group: a class whose hand-ins are looked at."""

    def __init__(
        self,
        path: Path,
        clock: Clock,
        rng: random.Random,
        decks: tuple[str, ...],
        notes: Path | None,
        group: "Class | None" = None,
    ) -> None:
        self.path = path
        self.clock = clock
        self.rng = rng
        self.decks = decks
        self.notes = notes
        self.group = group
        self._store: Store | None = None
        self._made: dict[str, tuple[object, Any]] = {}
        self._making: dict[str, Lock] = {}

    @property
    def store(self) -> Store:
        """The store, with the revisions of today in force."""
        if self._store is None:
            self._store = Store.open(self.path, self.clock, create=False, rng=self.rng)
        else:
            self._store.derive_anew()
        return self._store

    @property
    def is_open(self) -> bool:
        """Whether the store is held open."""
        return self._store is not None

    def secret(self, name: str) -> str:
        """128 bits of this store's own, made once: so a page outlives the run of the program that made it."""
        key = f"page {name}"
        if (known := self.store.local(key)) is not None:
            return known
        made = f"{self.rng.getrandbits(128):032x}"
        with self.store.writing():
            self.store.set_local(key, made)
        return made

    def made(self, name: str, mark: object) -> Any:
        """What was made under a name and still holds, by its mark; None where there is none."""
        known = self._made.get(name)
        return known[1] if known is not None and known[0] == mark else None

    def kept(self, name: str, mark: object, make: Callable[[], Value]) -> Value:
        """What takes long to make, made anew once `mark` differs. One is held of each name."""
        if self.made(name, mark) is None:
            self._made[name] = (mark, make())
        found: Value = self._made[name][1]
        return found

    async def apart(self, name: str, mark: object, make: Callable[[Store], Value]) -> Value:
        """What takes seconds to make, kept as `kept` does: made beside the other pages, which are answered meanwhile,
        over a store of its own."""
        async with self._making.setdefault(name, Lock()):
            if self.made(name, mark) is None:
                self._made[name] = (mark, await run_sync(self._over_its_own, make))
            found: Value = self._made[name][1]
            return found

    def _over_its_own(self, make: Callable[[Store], Value]) -> Value:
        with Store.open(self.path, self.clock, create=False) as store:
            return make(store)

    def close(self) -> None:
        """Let go of the store, with the weekly backup where it is due."""
        if self._store is not None:
            self._store.__exit__(None, None, None)
            self._store = None
