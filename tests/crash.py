"""Kill the store at random during reviews, loads, undos and merges, and look whether anything acknowledged is lost.

python tests/crash.py [rounds] [full]    `full`: with a disk that fills up (a limit on the size of files).

A child works on a store and says each thing when it is done; SIGKILL ends it at a random moment. After each kill the
file must pass SQLite's check, hold every acknowledged event, and know what its events say; then the next child goes
on.
"""

import random
import resource
import selectors
import signal
import subprocess
import sys
import time
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from store_kit import MORNING, deck  # noqa: E402

from recall.base.clock import SetClock  # noqa: E402
from recall.base.errors import RecallError, StoreError  # noqa: E402
from recall.store import Review, Store  # noqa: E402

MOST_DONE, LAST_MOMENT = 150, 0.02
"""A child is killed when it has said up to so many things, and up to so many seconds later."""
FACTS = {f"Item {at}": f"{at} V" for at in range(60)}


def child(folder: Path, seed: int, *, full: bool) -> None:
    """Work until killed. Prints `ready`, then a word and an event id for each thing that is done."""
    rng = random.Random(seed)
    clock = SetClock(MORNING + timedelta(hours=seed))
    store = Store.open(folder / "recall.db", clock)
    other = Store.open(folder / "other.db", clock)
    for each in (store, other):
        if not each.decks():
            each.load(deck(FACTS))
    store.merge([other.path], same_person=True)
    if full:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        most = max(path.stat().st_size for path in folder.iterdir()) + rng.randrange(60_000)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))
    say("ready")
    while True:
        clock.advance(rng.randrange(1, 9000))
        try:
            work(store, other, rng)
        except StoreError as refused:
            if not full:
                raise
            say("refused", refused.what.split(":")[0])


def work(store: Store, other: Store, rng: random.Random) -> None:
    """One thing."""
    what = rng.random()
    if what < 0.06:
        facts = dict(rng.sample(sorted(FACTS.items()), 50)) | {f"Item {rng.randrange(60)}": "off"}
        store.load(deck(facts, revision=str(rng.randrange(1, 6))), replace=True)
        say("loaded")
    elif what < 0.12:
        store.merge([other.path])
        say("merged")
    elif what < 0.18:
        try:
            store.undo()
        except RecallError:
            return
        say("undone", store.one("SELECT id FROM event WHERE type = 'undone' ORDER BY no DESC LIMIT 1"))
    else:
        device = other if what < 0.3 else store
        card = rng.choice(device.cards())
        event = device.record(
            Review(card.id, card.answer_hash, rng.randrange(1, 5), given="x" * rng.randrange(90))
        )
        say("elsewhere" if device is other else "reviewed", event)


def say(*words: str) -> None:
    """A line that is out when this returns."""
    sys.stdout.write(" ".join(words) + "\n")
    sys.stdout.flush()


def life_and_death(folder: Path, seed: int, rng: random.Random, *, full: bool) -> list[str]:
    """Start a child, kill it in its start or in the midst of its work; the lines it said."""
    command = [sys.executable, __file__, "child", str(folder), str(seed), "full" if full else ""]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None and process.stderr is not None
        until = None if rng.random() < 0.85 else time.monotonic() + rng.random() * 2
        most, moment, said = rng.randrange(1, MOST_DONE), rng.random() * LAST_MOMENT, b""
        with selectors.DefaultSelector() as watch:
            watch.register(process.stdout, selectors.EVENT_READ)
            while until is None or time.monotonic() < until:
                if watch.select(timeout=0.01):
                    part = process.stdout.read1(65536)  # type: ignore[attr-defined]
                    if not part:
                        break
                    said += part
                enough = said.count(b"\n") > most and (not full or b"refused" in said)
                if until is None and enough:
                    until = time.monotonic() + moment
        process.send_signal(signal.SIGKILL)
        rest, fault = process.communicate()
        if process.returncode != -signal.SIGKILL:
            raise AssertionError(f"the child ended by itself: {fault.decode()}")
        said += rest
    return [line for line in said.decode().split("\n")[:-1] if line]


def look(folder: Path, acknowledged: dict[str, set[str]]) -> list[str]:
    """What is wrong with the stores after a kill."""
    wrong = []
    for name, ids in acknowledged.items():
        if not (folder / name).exists():
            continue
        with Store.open(folder / name, SetClock(MORNING + timedelta(days=900))) as store:
            here = {row[0] for row in store.rows("SELECT id FROM event")}
            diagnosis = store.doctor()
            wrong += [f"{name}: lost {event}" for event in sorted(ids - here)]
            wrong += [f"{name}: {said}" for said in (*diagnosis.found, *diagnosis.mended)]
    return wrong


def run(rounds: int, *, full: bool = False, seed: int = 0) -> dict[str, int]:
    """So many lives on one pair of stores; how often each thing was acknowledged.

    Raises AssertionError where one was lost.
    """
    rng = random.Random(seed)
    counts: dict[str, int] = {}
    acknowledged: dict[str, set[str]] = {"recall.db": set(), "other.db": set()}
    with TemporaryDirectory() as name:
        folder = Path(name)
        for each in range(rounds):
            for line in life_and_death(folder, each, rng, full=full):
                word, *rest = line.split(" ", 1)
                counts[word] = counts.get(word, 0) + 1
                if word in ("reviewed", "undone", "elsewhere"):
                    acknowledged["other.db" if word == "elsewhere" else "recall.db"].add(rest[0])
            wrong = look(folder, acknowledged)
            if wrong:
                raise AssertionError(f"after {each + 1} kills: " + "; ".join(wrong))
    return counts


def main() -> None:
    """As a child, or as the one that kills."""
    if sys.argv[1:2] == ["child"]:
        child(Path(sys.argv[2]), int(sys.argv[3]), full=sys.argv[4] == "full")
        return
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    counts = run(rounds, full="full" in sys.argv)
    print(
        f"{rounds} kills, nothing lost: "
        + ", ".join(f"{count} {word}" for word, count in sorted(counts.items()))
    )


if __name__ == "__main__":
    main()
