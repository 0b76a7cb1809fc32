"""The same 200 answers at a terminal and in the program's side of the tablet, called as its worker calls it; in
Chromium fewer of them (`test_tablet.py`)."""

import json
import random
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from alike import GAPS, STANDING, Alike, bare
from loop_kit import awaited
from tablet_kit import Tablet
from web_kit import MORNING

from recall.base.clock import SetClock
from recall.offline.boot import Tablet as Program

EACH = 40
"""Answers a day; 200 in all."""


class Called(Tablet):
    """The program without a browser."""

    def __init__(self, path: Path, revision: Path) -> None:
        super().__init__(None, "")  # type: ignore[arg-type]
        self.program = Program(random.Random(1), path)
        self.program.clock = self.clock = SetClock(MORNING)
        self.program.make_anew([])
        self.program.begin("", 0)
        self.take(revision)
        self.kept: list[str] = []

    def call(self, path: str, form: Mapping[str, str] | None = None) -> tuple[int, str]:
        """What a page answers, a redirection followed."""
        headers = [("content-type", "application/x-www-form-urlencoded"), ("origin", "http://127.0.0.1")]
        sent = "GET" if form is None else "POST", f"/{path}", "", headers, urlencode(form or {}).encode()
        status, head, content = awaited(self.program.answer(*sent))
        return self.call(dict(head)["location"]) if status == 303 else (status, content.decode())

    def take(self, revision: Path) -> None:
        """Load a revision."""
        assert "" == self.program.load(revision.name, revision.read_bytes())

    def set_clock(self, moment: datetime) -> None:
        """Set the program's clock."""
        self.clock.at = moment

    def events(self) -> list[dict[str, Any]]:
        """What the browser would keep."""
        self.kept += [line for _, line in self.program.new_events()]
        return [json.loads(line) for line in self.kept]


def test_the_same_answers_give_the_same_events(all_forms: tuple[Path, Path], tmp_path: Path) -> None:
    """Right and wrong answers of all forms, slips, what is no answer, undo, overrules, claims, remarks and a newer
    revision, on five days: each question, each event (times aside), due days and marks are the terminal's."""
    tablet = Called(tmp_path / "tablet.db", all_forms[0])
    both = Alike.begun(tablet, tmp_path, all_forms[0])
    for number, gap in enumerate(GAPS):
        if number == 3:
            both.load(all_forms[1], tablet.take)
        both.sit(gap, EACH)
    told, kept = both.told(), bare(tablet.events())
    taken = {step.partition(" ")[0] for step in both.steps}

    assert 200 == both.answers
    assert {"answer", "next", "undo", "source", "right", "missed", "hesitant", "sure", "instant"} <= taken
    assert told == kept
    assert {
        row[0]: row for row in tablet.program.store.rows(f"SELECT {STANDING} FROM card")
    } == both.standings()
