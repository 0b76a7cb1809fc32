"""Hand the store what nobody should trust, and damage it: is anything taken in, changed or left unsaid?

python tests/damage.py [stores]    Prints counts.

Crafted events (`crafted.py`) must be refused with one clear line, the store as it was, or be harmless. Stores with
flipped bytes must never end a command in a raw exception, nor show an event otherwise than it was written; what can
still be read goes into a new store.
"""

import random
import sys
from collections import Counter
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE.parent), str(HERE)]

from cli_kit import Ran, recall  # noqa: E402
from crafted import crafted_store, full_store, lines, stores  # noqa: E402
from store_kit import MORNING, deck, knowledge  # noqa: E402

from recall.base.clock import SetClock  # noqa: E402
from recall.base.errors import RecallError, StoreError  # noqa: E402
from recall.insight.known import topics_of  # noqa: E402
from recall.kinds.marking import pose  # noqa: E402
from recall.store import Review, Store  # noqa: E402

MOST_BYTES = 4096


def state(store: Store) -> object:
    """All that a store holds and knows."""
    return list(store.events_json()), knowledge(store)


def use(path: Path, clock: SetClock) -> None:
    """Ask a store everything, so that what was taken in shows what it does."""
    with Store.open(path, clock) as store:
        store.due_by_day(30)
        topics_of(store)
        for known in store.cards():
            pose(store.card(known.id), random.Random(0)).mark("1")
            store.history(known.id)
        for number in range(60):
            clock.advance(number)
            store.due_cards(clock.at.date(), 5)
        diagnosis = store.doctor()
        assert not any(found.startswith(("file", "events: what")) for found in diagnosis.found), diagnosis
        assert () == diagnosis.mended, diagnosis


def offer(path: Path, taken: object, read: object) -> str:
    """Let a store take something in: `refused` where it says so in one line and is as it was, else `harmless`."""
    clock = SetClock(MORNING + timedelta(days=9))
    with Store.open(path, clock) as store:
        before = state(store)
        try:
            read(store)  # type: ignore[operator]
        except StoreError as error:
            said = f"{error.what}{error.help}"
            assert "\n" not in said and len(said) < 600 and error.help, said
            assert before == state(store), taken
            return "refused"
    use(path, clock)
    return "harmless"


def crafted(every: int = 1) -> tuple[Counter[str], list[str]]:
    """Offer every crafted event (or one in `every`); how often each came out, and the names of the harmless ones."""
    counts: Counter[str] = Counter()
    harmless = []
    with TemporaryDirectory() as name:
        folder = Path(name)
        with full_store(folder / "genuine.db", SetClock(MORNING)) as genuine:
            written = list(genuine.events_json())
        own = folder / "own.db"
        with Store.open(own, SetClock(MORNING)) as store:
            store.merge([genuine.path], same_person=True)
        fresh = own.read_bytes()
        tried: list[tuple[str, object]] = [
            (name, lambda store, line=line: store.read_json([line], "crafted.jsonl", same_person=True))
            for name, line in lines(written)
        ]
        for at, (name, change) in enumerate(stores()):
            other = folder / f"other-{at}.db"

            def merge(store: Store, other: Path = other, change: object = change) -> None:
                crafted_store(genuine.path, other, change)  # type: ignore[arg-type]
                store.merge([other], same_person=True)

            tried.append((f"store: {name}", merge))
        for name, read in tried[::every]:
            try:
                came = offer(own, name, read)
            except Exception as fault:
                fault.add_note(name)
                raise
            counts[came] += 1
            if came == "harmless":
                harmless.append(name)
                for tail in ("", "-wal", "-shm"):
                    own.with_name(own.name + tail).unlink(missing_ok=True)
                own.write_bytes(fresh)
    return counts, harmless


def flipped(content: bytes, rng: random.Random) -> bytes:
    """A file with 1 to 4,096 changed bytes: scattered, or all in one place."""
    count = min(int(2 ** rng.uniform(0, 12.001)), MOST_BYTES)
    start = rng.randrange(len(content))
    scattered = rng.random() < 0.5
    harmed = bytearray(content)
    for at in range(count):
        where = rng.randrange(len(content)) if scattered else (start + at) % len(content)
        harmed[where] ^= rng.randrange(1, 256)
    return bytes(harmed)


def sound_store(folder: Path) -> Path:
    """A store of some hundred events."""
    path = folder / "sound.db"
    clock = SetClock(MORNING)
    rng = random.Random(5)
    with Store.open(path, clock, rng=rng) as store:
        store.load(deck({f"Item {at}": f"{at} V" for at in range(12)}))
        cards = store.cards()
        for _ in range(300):
            clock.advance(rng.randrange(40_000))
            card = rng.choice(cards)
            store.record(
                Review(card.id, card.answer_hash, rng.randrange(1, 5), given="x" * rng.randrange(40))
            )
        store.remark(cards[0].id, "above the door")
        store.set("target", "0.85")
    return path


def one_line(ran: Ran) -> bool:
    """Whether a command says what is wrong in one line and its help, or nothing is wrong."""
    said = ran.err.splitlines()
    return not said or (len(said) <= 2 and said[0].startswith("recall: "))


def look(path: Path, sound: Path, written: set[str], counts: Counter[str]) -> None:
    """Run the commands on a damaged store."""
    kept = path.read_bytes()
    found = False
    ended: dict[str, Ran] = {}
    other = path.with_name("copy.db")
    rescue = path.with_name("rescued.db")
    for name, words, answers in (
        ("events", ("events",), ()),
        ("backup", ("backup", other), ()),
        ("due", ("due",), ()),
        ("weak", ("weak",), ()),
        ("review", ("review",), (":stop",)),
        ("merge", ("merge", path), ()),
        ("doctor", ("doctor",), ()),
    ):
        path.write_bytes(kept)
        target = path
        if name == "merge":
            target = path.with_name("target.db")
            target.touch(0o600)
            target.write_bytes(sound.read_bytes())
        try:
            ran = ended[name] = recall(*words, store=target, answers=answers)
        except Exception as fault:  # every one counts
            counts[f"raw exceptions in {name}: {type(fault).__name__}: {fault}"] += 1
            counts["raw exceptions"] += 1
            continue
        found |= ran.code != 0 or "mended" in ran.out
        if not one_line(ran):
            counts[f"{name} said more than a line"] += 1
        if name == "doctor" and "recall doctor" in ran.out + ran.err:
            counts["doctor sends to itself"] += 1
        if name == "merge":
            counts["silent changes"] += len(set(recall("events", store=target).out.splitlines()) - written)
        if name == "backup" and not ran.code:
            counts["silent changes"] += set(recall("events", store=other).out.splitlines()) != written
        other.unlink(missing_ok=True)
    path.write_bytes(kept)
    counts["found" if found else "harmless (a page in no use, or worked out anew)"] += 1
    if "events" not in ended:
        return
    lines_out = ended["events"].out.splitlines()
    counts["silent changes"] += len(set(lines_out) - written)
    if not found:
        counts["silent losses"] += set(lines_out) != written
    if not lines_out:
        counts["not readable at all: put back a backup"] += found
        return
    (path.with_name("rescued.jsonl")).write_text("\n".join(lines_out) + "\n", encoding="utf-8")
    for tail in ("", "-wal", "-shm"):
        rescue.with_name(rescue.name + tail).unlink(missing_ok=True)
    read = recall("events", "--read", path.with_name("rescued.jsonl"), store=rescue)
    if found:
        counts["rescued" if not read.code else f"not rescued: {read.err}"] += 1
        counts["events of those"] += len(written)
        counts["events rescued"] += len(lines_out) if not read.code else 0


def damaged(rounds: int, seed: int = 0) -> Counter[str]:
    """Damage so many copies of a store; what came of them."""
    counts: Counter[str] = Counter(
        {"silent changes": 0, "silent losses": 0, "raw exceptions": 0, "stores": rounds}
    )
    rng = random.Random(seed)
    with TemporaryDirectory() as name:
        folder = Path(name)
        sound = sound_store(folder)
        written = set(recall("events", store=sound).out.splitlines())
        for at in range(rounds):
            place = folder / str(at)
            place.mkdir()
            path = place / "damaged.db"
            path.touch(0o600)
            path.write_bytes(flipped(sound.read_bytes(), rng))
            look(path, sound, written, counts)
    return counts


def main() -> None:
    """Both, with counts."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    counts, harmless = crafted()
    print(
        f"crafted events: {counts.total()} tried, {counts['refused']} refused, {counts['harmless']} harmless"
    )
    print("  harmless: " + "; ".join(harmless))
    print("damaged stores:")
    for name, count in sorted(damaged(rounds).items()):
        print(f"  {count:6} {name}")


if __name__ == "__main__":
    try:
        main()
    except RecallError as error:
        sys.exit(f"{error.what}; {error.help}")
