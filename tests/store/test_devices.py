"""Several devices at once: whatever is done where, merged in any order, is as if one device had done it all."""

import random
import tempfile
from pathlib import Path

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule
from store_kit import MORNING, deck, knowledge

from recall.base.clock import SetClock
from recall.base.errors import RecallError
from recall.store import Review, Store

DEVICES = ("laptop", "tablet", "phone")
FACTS = {"Battery": "24 V", "Pump": "on", "Tank": "full", "Vent": "shut", "Hatch": "shut", "Lamp": "amber"}
devices = st.sampled_from(DEVICES)


def revision_of(seed: int) -> tuple[str, dict[str, str]]:
    """A revision: some facts left out, some changed, some under another heading; numbers come again."""
    rng = random.Random(seed)
    facts = {}
    for subject, answer in FACTS.items():
        if rng.random() < 0.85:
            topic = "Fuel / " if rng.random() < 0.25 else ""
            facts[topic + subject] = "auto" if rng.random() < 0.2 else answer
    return rng.choice(["1", "2", "2.1", "3"]), facts or FACTS


class Devices(RuleBasedStateMachine):
    """Three devices of one person and, beside them, one that does all they do."""

    def __init__(self) -> None:
        super().__init__()
        self.folder = tempfile.TemporaryDirectory()
        self.clock = SetClock(MORNING)
        self.stores = {
            name: Store.open(Path(self.folder.name) / f"{name}.db", self.clock, rng=random.Random(at))
            for at, name in enumerate((*DEVICES, "all"))
        }
        self.alone = self.stores.pop("all")
        self.twins: dict[str, str] = {}

    @initialize()
    def meet(self) -> None:
        """The devices learn that they belong to one person; each has the first revision."""
        for at, store in enumerate(self.stores.values()):
            self.clock.advance(1)
            store.load(deck(FACTS, revision="1"))
            if at:
                store.merge([self.stores["laptop"].path], same_person=True)
        self.clock.advance(1)
        self.alone.load(deck(FACTS, revision="1"))

    @rule(device=devices, which=st.integers(0, 40))
    def load(self, device: str, which: int) -> None:
        """A revision, or an edit without another number, on one device."""
        self.clock.advance(1)
        revision, facts = revision_of(which)
        if self.stores[device].load(deck(facts, revision=revision), replace=True).recorded:
            self.alone.load(deck(facts, revision=revision), replace=True)

    @rule(device=devices, which=st.integers(0, 9), mark=st.integers(1, 4), days=st.sampled_from([0, 0, 1, 5]))
    def review(self, device: str, which: int, mark: int, days: int) -> None:
        """An answer on one device, under the revision that it knows."""
        self.clock.advance(1 + days * 86_400)
        store = self.stores[device]
        cards = store.cards()
        card = cards[which % len(cards)]
        here = store.record(Review(card.id, card.answer_hash, mark))
        revision = store.decks()[0].revision
        self.twins[here] = self.alone.record(Review(card.id, card.answer_hash, mark, revision=revision))

    @rule(device=devices)
    def undo(self, device: str) -> None:
        """The newest review of one device."""
        self.clock.advance(1)
        store = self.stores[device]
        before = {row[0] for row in store.rows("SELECT review FROM undone")}
        try:
            store.undo()
        except RecallError:
            return
        (undone,) = {row[0] for row in store.rows("SELECT review FROM undone")} - before
        self.alone.undo(self.twins[undone])

    @rule(device=devices, value=st.sampled_from(["0.8", "0.9", "0.95"]))
    def set(self, device: str, value: str) -> None:
        """A setting; the last one wins."""
        self.clock.advance(1)
        self.stores[device].set("target", value)
        self.alone.set("target", value)

    @rule(device=devices, other=devices)
    def merge(self, device: str, other: str) -> None:
        """One device takes in another."""
        self.clock.advance(1)
        if device != other:
            self.stores[device].merge([self.stores[other].path])

    @rule(device=devices)
    def derive_anew(self, device: str) -> None:
        """What is derived step by step is what the events say."""
        diagnosis = self.stores[device].doctor()

        assert ((), ()) == (diagnosis.found, diagnosis.mended)

    @invariant()
    def nothing_is_asked_twice(self) -> None:
        """A card is in force once."""
        for store in self.stores.values():
            ids = [card.id for card in store.cards()]

            assert len(ids) == len(set(ids))

    def teardown(self) -> None:
        """Merged round in two orders, all devices know what the one device knows."""
        try:
            laptop, tablet, phone = self.stores.values()
            laptop.merge([tablet.path, phone.path])
            phone.merge([laptop.path, tablet.path, laptop.path])
            tablet.merge([phone.path])
            copy = Store.from_json(Path(self.folder.name) / "copy.db", laptop.events_json(), self.clock)
            expected = knowledge(self.alone)

            for store in (laptop, tablet, phone, copy):
                assert expected == knowledge(store)
            copy.close()
        finally:
            for store in (*self.stores.values(), self.alone):
                store.close()
            self.folder.cleanup()


TestDevices = Devices.TestCase
TestDevices.settings = settings(
    max_examples=20,
    stateful_step_count=20,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
