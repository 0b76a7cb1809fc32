"""Make stores with earlier commits of this repository, and keep their events and the notes that they were read from.

python tests/store/versions/make_earlier.py, from the top of the repository: three commits well apart, each with part
of the demo decks as they were at that commit, every card answered, some through a pipe. They stay as they are:
whatever is done to the program, it must take up these stores without losing one memory (`test_upgrade.py`).
"""

import gzip
import io
import shutil
import subprocess
import sys
import tarfile
from datetime import datetime, timezone
from pathlib import Path
from tempfile import TemporaryDirectory

HERE = Path(__file__).parent
TOP = HERE.parents[2]
sys.path[:0] = [str(TOP)]

STORES = {
    "b9ed3fc": ("rules-and-weather", ()),
    "51b931d": ("skerry", ("abbreviations", "electrical-power", "fuel", "normal-procedures", "warnings")),
    "eb357e0": ("skerry", ("air-conditioning", "emergencies", "engines", "ice-and-rain", "starting")),
}
"""Commit → deck and, beside `deck.md`, the notes of it; none: all."""

FILL = """
import random, sys
from datetime import datetime, timezone
from pathlib import Path
from recall.base.clock import SetClock
from recall.deck.read import read_deck
from recall.store import Review, Store
clock, chance = SetClock(datetime(2026, 11, 24, 9, tzinfo=timezone.utc)), random.Random(1)
with Store.open(Path("recall.db"), clock, rng=random.Random(2)) as store:
    read, _ = read_deck(Path(sys.argv[1]))
    store.load(read)
    for share in (1.0, 0.4):
        for known in store.cards():
            clock.advance(5)
            mark = chance.choice((1, 2, 3, 3, 3, 3, 4))
            if chance.random() < share:
                store.record(Review(known.id, known.answer_hash, mark, right=mark > 1))
        clock.advance(2 * 86_400)
"""


def main() -> None:
    """Write `COMMIT/events.jsonl.gz` and `COMMIT/SLUG/` beside this file."""
    from recall.base.clock import SetClock
    from recall.store import Store

    for commit, (slug, notes) in STORES.items():
        with TemporaryDirectory() as folder:
            top = Path(folder)
            packed = subprocess.run(
                ["git", "archive", commit], cwd=TOP, capture_output=True, check=True
            ).stdout
            with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
                archive.extractall(top, filter="data")
            kept = HERE / commit
            shutil.rmtree(kept, ignore_errors=True)
            (kept / slug).mkdir(parents=True)
            for note in sorted((top / "decks" / slug).glob("*.md")):
                if not notes or note.stem in ("deck", *notes):
                    shutil.copy(note, kept / slug)
            run = [sys.executable, "-P", "-c", f"import sys; sys.path.insert(0, {folder!r})\n{FILL}"]
            subprocess.run([*run, str(kept / slug)], cwd=top, check=True)
            piped = "from recall.cli import main; sys.argv[1:] = ['review', '--cards', '20', '--store', 'recall.db']"
            run[-1] = f"import sys; sys.path.insert(0, {folder!r})\n{piped}; main()"
            subprocess.run(run, cwd=top, input="24 V\nm\n" * 30, text=True, capture_output=True, check=False)
            with Store.open(
                top / "recall.db", SetClock(datetime(2026, 12, 20, tzinfo=timezone.utc))
            ) as store:
                lines = "".join(f"{line}\n" for line in store.events_json())
            (kept / "events.jsonl.gz").write_bytes(gzip.compress(lines.encode(), mtime=0))


if __name__ == "__main__":
    main()
