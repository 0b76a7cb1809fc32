"""A sitting over both decks, killed half way and gone on with: every answered card is kept."""

import os
import signal
import subprocess
import sys
from pathlib import Path

from cli_kit import DECKS, recall


def _sitting(store: Path, *words: str, answers: int, kill: bool) -> int:
    """Answer so many questions, one at a time, each acknowledged before the next; then end or be killed."""
    command = [sys.executable, "-m", "recall", "--store", str(store), "review", *words]
    environment = {**os.environ, "NO_COLOR": "1", "PYTHONIOENCODING": "utf-8"}
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, encoding="utf-8", env=environment
    ) as process:
        assert process.stdin and process.stdout
        marked = 0
        for number in range(answers):
            # The second empty line in a row is an answer; a prose question takes a second line for its mark. So lines
            # go one by one until the answer is acknowledged.
            for line in ("", "", "sure", "sure"):
                process.stdin.write(f"{line}\n")
                process.stdin.flush()
                if _acknowledged(process.stdout):
                    break
            marked = number + 1
        if kill:
            process.send_signal(signal.SIGKILL)
        process.stdin.close()
        process.wait(60)
    return marked


def _acknowledged(out: object) -> bool:
    """Read to the acknowledgement, or to where another line is awaited."""
    for line in out:  # type: ignore[attr-defined]
        if line.startswith("Marked "):
            return True
        if line.startswith(("How did it go?", "Nothing was typed", "A critical point:")):
            return False
    raise AssertionError("the sitting ended early")


def test_a_sitting_killed_half_way_keeps_every_answer(tmp_path: Path) -> None:
    """Forty answers in two sittings, the first of them killed: forty reviews in the store."""
    store = tmp_path / "store.db"
    recall("load", DECKS, store=store)
    recall("settings", "unasked", "60", store=store)
    first = _sitting(store, answers=20, kill=True)
    kept = recall("weak", "--json", store=store)
    gone_on = recall("review", store=store, answers=[":stop"])
    second = _sitting(store, answers=20, kill=False)

    assert (20, 20) == (first, second)
    assert "Going on where it was left, after 20 answers." in gone_on.out
    assert 20 <= _reviews(store, kept.code)
    assert 40 == _reviews(store, 0)


def _reviews(store: Path, code: int) -> int:
    from recall.base.clock import SystemClock
    from recall.store import Store

    assert code == 0
    with Store.open(store, SystemClock()) as opened:
        return int(opened.one("SELECT count(*) FROM event WHERE type = 'reviewed'"))
