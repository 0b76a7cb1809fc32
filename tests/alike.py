"""The same answers at a terminal and in the page inside a browser, step by step: what is put must be the same at
each, and in the end the events, their marks and the days on which cards are due."""

import io
import json
import random
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from tablet_kit import Tablet

from recall.base.clock import SetClock
from recall.base.marks import MARKS
from recall.cli.screen import Screen
from recall.cli.sitting import AtTerminal
from recall.publish.receive import receive
from recall.publish.sources import SourceText
from recall.session.begin import begin_review, today_of
from recall.session.desk import Selection
from recall.session.sitting import Sitting
from recall.session.view import ACTIONS
from recall.store import Store

GAPS = (0, 1, 3, 8, 21)
"""Days between the sittings."""
OF_A_RUN = ("id", "writer", "n", "at")
"""What says when and by which run of the program an event was written."""
STANDING = "id, standing, due, asked, right, fresh, first_day, last_day, present"


@dataclass
class Same(random.Random):
    """Draws the id that the other sitting drew."""

    drawn: int

    def getrandbits(self, bits: int, /) -> int:
        """That id."""
        return self.drawn


@dataclass
class Hands:
    """A person's hands at a terminal, whose every step is taken in the page first. most: answers until they rest."""

    dice: random.Random
    tablet: Tablet
    clock: SetClock
    sitting: Sitting
    texts: Sequence[str]
    most: int
    answers: int = 0
    steps: list[str] = field(default_factory=list)
    seconds: float = 0.0
    _asked: str = ""
    _rest: list[str] = field(default_factory=list)

    def line(self, prompt: str, touched: Callable[[], None], begun: str = "") -> str:
        """The next line: of an answer, or a command."""
        if self._rest:
            return self._rest.pop(0)
        view = self.sitting.view()
        if view.fresh and view.token != self._asked:
            self._asked, self.seconds = view.token, self.dice.randrange(4, 120) / 4
            self.clock.advance(self.seconds)
            self.tablet.set_clock(self.clock.at)
        touched()
        action = self._choose(view.may, 0.82)
        text = "\n".join(
            filter(str.strip, self._text(action).split("\n"))
        )  # an empty line ends an answer there
        self._take(action, text)
        if action != "answer":
            return f":{action} {text}"
        assert view.question is not None
        lines = text.split("\n")
        self._rest = [*lines[1:], *([""] if view.question.several and text.strip() else [])]
        return lines[0]

    def key(self, wanted: Sequence[str]) -> str:
        """The next key."""
        action = self._choose(self.sitting.view().may, 0.6)
        text = self._text(action)
        self._take(action, text)
        self._rest = [text] if action == "remark" else []
        assert ACTIONS[action].key in wanted
        return ACTIONS[action].key

    def settle(self, *, on_a_line: bool = False) -> str:
        """These hands wait by themselves."""
        return ""

    def alike(self) -> None:
        """The page shows what the terminal does."""
        view, seen = self.sitting.view(), self.tablet.now
        prompt = view.question.prompt if view.question else ""
        if view.phase != "over":
            here, there = (view.token, view.phase, prompt), (seen.token, seen.phase, seen.question)
            assert here == there, (here, there, self.steps[-3:])

    def _choose(self, may: Sequence[str], usual: float) -> str:
        """An action out of those that may be taken: mostly the one that goes on."""
        self.alike()
        if self.answers >= self.most:
            raise EOFError
        if may[0] in MARKS:
            return (
                self.dice.choice([mark for mark in MARKS if mark in may])
                if self.dice.random() < 0.9
                else "source"
            )
        others = [one for one in may[1:] if one not in ("stop", "notes")]
        return self.dice.choice(others) if others and self.dice.random() > usual else may[0]

    def _text(self, action: str) -> str:
        if action == "remark":
            return f"my words, {self.dice.randrange(99)}"
        return typed(self.dice, self.sitting, self.texts) if action == "answer" else ""

    def _take(self, action: str, text: str) -> None:
        self.answers += action == "answer"
        self.steps.append(f"{action} {text}".strip())
        self.tablet.step(action, text, self.seconds)


def typed(dice: random.Random, sitting: Sitting, others: Sequence[str]) -> str:
    """What a person might type: right, with a slip of the hand, another card's answer, what is no answer, nothing."""
    assert sitting.question is not None
    answer = sitting.question.answer
    right = "\n".join(answer.texts) if sitting.view().question.several else answer.text  # type: ignore[union-attr]
    match dice.choices(("right", "slip", "other", "none", "again", "part"), (60, 12, 14, 4, 5, 5))[0]:
        case "slip":
            at = dice.randrange(len(right))
            return right[:at] + right[at : at + 1] * dice.choice((0, 2)) + right[at + 1 :]
        case "other":
            return dice.choice(others)
        case "none":
            return ""
        case "again":
            return dice.choice(("soon", "is it?", "about that", "-"))
        case "part":
            return right.split("\n")[0].split(" ")[0]
    return right


@dataclass
class Alike:
    """Both sides of the comparison."""

    tablet: Tablet
    store: Store
    clock: SetClock
    dice: random.Random = field(default_factory=lambda: random.Random(15))
    steps: list[str] = field(default_factory=list)
    answers: int = 0

    @classmethod
    def begun(cls, tablet: Tablet, folder: Path, published: Path) -> "Alike":
        """A terminal's store that has loaded what the page loaded, on the same day."""
        clock = SetClock(datetime.fromisoformat(tablet.events()[0]["at"]))
        store = Store.open(folder / "terminal.db", clock, rng=random.Random(2))
        receive(store, published)
        return cls(tablet, store, clock)

    def load(self, published: Path, take: Callable[[Path], None] | None = None) -> None:
        """A further revision on both. take: how the page takes it, by its own form where that isn't told."""
        receive(self.store, published)
        if take is not None:
            take(published)
            return
        code = """const page = document.getElementById("page").contentWindow;
            const bytes = Uint8Array.from(given.bytes, (one) => one.charCodeAt(0));
            const answer = await page.fetch(`handover?name=${given.name}`,
              { method: "POST", body: bytes, headers: { "X-Page": given.token } });
            return [answer.status, await answer.text()];"""
        words = {
            "name": published.name,
            "bytes": published.read_bytes().decode("latin-1"),
            "token": self.tablet.page("settings").partition('page-token" content="')[2][:32],
        }
        said = self.tablet.browser.js(code, words)
        assert 200 == said[0], said

    def sit(self, gap: int, most: int) -> None:
        """A day's review on both, `gap` days later. most: answers."""
        self.clock.at = (self.clock.at + timedelta(days=gap)).replace(
            hour=12, minute=0, second=0, microsecond=0
        )
        self.tablet.set_clock(self.clock.at)
        look = self.tablet.begin(more="on")
        drawn = look.token.partition(".")[0].partition("-")[2]
        wish = Selection(more=True)
        self.store.derive_anew()
        before, self.store.writer.random = self.store.writer.random, Same(int(drawn, 16))
        sitting = begin_review(self.store, wish, today_of(self.store, wish), SourceText(self.store))
        self.store.writer.random = before
        screen = Screen(io.StringIO(), 80)
        texts = sorted({self.store.card(card.id).answer.text for card in self.store.cards()})
        hands = Hands(self.dice, self.tablet, self.clock, sitting, texts, most)
        AtTerminal(sitting, screen, hands, self.clock).run()
        hands.alike()
        self.steps += hands.steps
        self.answers += hands.answers

    def told(self) -> list[dict[str, Any]]:
        """The terminal's events."""
        return bare(json.loads(line) for line in self.store.events_json())

    def standings(self) -> dict[str, tuple[Any, ...]]:
        """The terminal's cards."""
        return {row[0]: row for row in self.store.rows(f"SELECT {STANDING} FROM card")}

    def standings_there(self) -> dict[str, tuple[Any, ...]]:
        """The page's cards, out of the copy of its store that the browser keeps."""
        with sqlite3.connect(":memory:") as base:
            base.deserialize(self.tablet.snapshot())
            return {row[0]: row for row in base.execute(f"SELECT {STANDING} FROM card")}


def bare(events: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    """Events without their times and runs; what names another event names its place instead."""
    listed = [event for event in events if event["type"] != "person joined"]
    places = {event["id"]: at for at, event in enumerate(listed)}
    return [
        {
            name: places.get(value, value) if isinstance(value, str) else value
            for name, value in event.items()
            if name not in OF_A_RUN
        }
        for event in listed
    ]


def counted(events: Iterable[dict[str, Any]]) -> dict[str, int]:
    """Events by type."""
    found: dict[str, int] = {}
    for event in events:
        found[event["type"]] = found.get(event["type"], 0) + 1
    return found
