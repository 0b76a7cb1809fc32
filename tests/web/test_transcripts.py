"""One transcript: the terminal and the page tell the same words for the same answers, and keep the same events."""

import io
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from httpx2 import ASGITransport, AsyncClient
from loop_kit import awaited
from rich.console import Console
from sitting_kit import MORNING, SITTINGS, Golden, opened, played, read_golden, steps_of
from web_kit import HOST

from recall.base.clock import SetClock
from recall.cli.screen import STYLES, Screen
from recall.cli.sitting import HINTS, mark_named, show
from recall.session.commands import command, words_behind
from recall.session.effort import EVERYDAY_SECONDS
from recall.session.view import ACTIONS, Line, Put, View
from recall.store import Store
from recall.web.app import application
from recall.web.guard import page_token

BY_KEY = {told.key: action for action, told in ACTIONS.items()}
AREAS = ("now", "told", "earlier", "shown", "question", "over")
OWN = re.compile(
    r">|key |How did it go\?|Keys:  | {7}[a-z] [a-z]|`.*` is no mark\.|Nothing was done|\n?Broken off\."
)
"""Lines that a terminal has of its own: what is typed and pressed, and which keys there are."""


@dataclass
class Looked(HTMLParser):
    """What stands on a page of a sitting, found by its classes as a style sheet finds it."""

    found: list[tuple[str, str, str]] = field(default_factory=list)
    facts: dict[str, str | None] = field(default_factory=dict)
    several: bool = False
    buttons: set[str] = field(default_factory=set)
    _open: list[tuple[str, str]] = field(default_factory=list)
    _area: str = ""

    def __post_init__(self) -> None:
        """Begin at the head of the page."""
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Remember where it is, and what the sitting says of itself."""
        own = dict(attrs)
        classes = (own.get("class") or "").split()
        if tag == "article":
            self.facts |= own
        self.several |= "data-several" in own
        if tag == "button":
            self.buttons.add(own.get("value") or "")
        self._area = next((one for one in classes if one in AREAS), self._area)
        if tag in ("p", "h1", "code", "span") and "hidden" not in own:
            self._open.append((tag, " ".join(classes)))
            self.found.append((self._area, " ".join(classes) or tag, ""))

    def handle_data(self, data: str) -> None:
        """Text belongs to the innermost piece."""
        if self._open:
            area, what, text = self.found[-1]
            self.found[-1] = area, what, text + data

    def handle_endtag(self, tag: str) -> None:
        """Leave it."""
        if self._open and self._open[-1][0] == tag:
            self._open.pop()

    def lines(self, area: str) -> tuple[Line, ...]:
        """The sentences of an area, with the roles that their classes say."""
        roles: dict[str, Any] = {"left-out": "left out", "compared": "about", "code": "line", "here": "line"}
        named = (
            (roles.get(what.split()[0], what), text) for where, what, text in self.found if where == area
        )
        return tuple(Line(role, text) for role, text in named if role in STYLES)

    def one(self, what: str) -> str:
        """The text of the only piece of a class."""
        return next((text for _, name, text in self.found if name == what), "")

    def view(self) -> View:
        """As much of a view as a screen shows."""
        phase: Any = self.facts.get("data-phase") or "over"
        applies = self.one("applies").removeprefix("(applies to ").removesuffix(")")
        put = Put(
            tuple(self.one("topic").split(" / ")),
            self.one("h1"),
            bool(self.one("flag")),
            applies,
            True,
            False,
            True,
        )
        standing: Any = SimpleNamespace(here=self.one("here"), so_far=self.one("so-far"))
        fresh = "data-fresh" in self.facts
        told = self.lines("now") + self.lines("told")
        return View(phase, "", put, (), told, standing, fresh, self.lines("shown"))


def without_own(screen: str) -> str:
    """What a terminal shows of a sitting, up to its end."""
    lines = [
        line
        for line in screen.splitlines()
        if not OWN.match(line) and line not in {*HINTS.values(), *(told.does for told in ACTIONS.values())}
    ]
    return "\n".join(lines).strip()


async def on_the_page(store: Store, clock: SetClock, how: str, steps: list[str]) -> str:
    """The screen that the page's words would make, step by step. A pipe passes over what a page lets stand."""
    mode, door = how.split()
    piped = door == "pipe"
    passes, seconds = piped and mode == "review", "" if piped else "5"
    app = application(store.path, clock, random.Random(2))
    room = app.state.room
    room._store = store
    with store.writing():
        store.set_local("page token", "0" * 32)
    page, cards = page_token(room), str(len(store.cards()))
    out = io.StringIO()
    screen = Screen(out, 80, Console(file=out, width=80, highlight=False, no_color=True))
    address = {"review": "/review", "oral": "/oral", "examiner": "/oral?seat=examiner"}[mode]
    begin = {"action": "begin"} | ({} if mode == "review" else {"questions": cards})
    begin |= {"examiner": "on"} if mode == "examiner" else {}
    transport = ASGITransport(app=app, client=("127.0.0.1", 1))
    async with AsyncClient(transport=transport, base_url=f"http://{HOST}", follow_redirects=True) as client:

        async def send(form: dict[str, str]) -> Looked:
            origin = {"Origin": f"http://{HOST}"}
            answer = await client.post(address, data={"page": page} | form, headers=origin)
            looked = Looked()
            looked.feed(answer.text)
            return looked

        await send(begin)
        now = Looked()
        now.feed((await client.get(address)).text)
        before: View | None = None
        given: list[str] = []
        show(screen, now.view())
        while steps and now.facts.get("data-phase"):
            before = now.view()
            step = "key enter" if passes and before.phase == "told" else steps.pop(0)
            action, text = BY_KEY.get(step.removeprefix("key ").casefold(), ""), ""
            if piped and before.phase == "marking" and not command(step[2:]):
                action = mark_named(step[2:])
                step = f"key {action}"
            if step.startswith("key ") and action not in now.buttons:
                continue  # passed over, as at a terminal
            if step.startswith(">"):
                clock.advance(0 if piped else 5)
                action = command(step[2:]) or ("next" if before.phase == "told" else "answer")
            if action == "remark":
                text = words_behind(step[2:]) if step.startswith(">") else steps.pop(0)[2:]
            if action == "answer":
                given.append(step[2:])
                if now.several and step[2:].strip() and not piped:
                    continue
                text, given = "\n".join(given), []
            form = {
                "token": str(now.facts["data-token"]),
                "action": action,
                "text": text,
                "seconds": seconds,
            }
            now = await send(form)
            if now.one("notice"):
                screen.line(now.one("notice"))
            elif now.facts.get("data-phase"):
                show(screen, now.view(), before)
    return out.getvalue()


def pressed(steps: list[str]) -> Iterator[str]:
    """The steps without questions for help, and what was typed after a colon as the key that it names."""
    while steps:
        step = steps.pop(0)
        if step == "key :":
            typed = f":{steps.pop(0)[2:]}"
            if (named := command(typed)) in ACTIONS:
                yield f"key {ACTIONS[named].key}"
                if named == "remark":
                    yield f"> {words_behind(typed)}"
        elif command(step[2:]) != "?" or step.startswith("key "):
            yield step


def kept(store: Store) -> list[tuple[Any, ...]]:
    """Every answer that is kept, times aside."""
    return store.rows(
        "SELECT card, day, mark, ok, answer, seconds, body FROM event WHERE type IN ('reviewed', 'undone')"
        " ORDER BY no"
    )


def sat(folder: Path, case: Golden, how: str, steps: list[str]) -> tuple[str, list[tuple[Any, ...]]]:
    """The screen of a case on the page, and what it kept."""
    with opened(folder, case.note) as (store, clock):
        for line in case.settings.splitlines():
            store.set(*line.split(" ", 1))
        (folder / "note.md").unlink()  # the kit's terminal has no lines of notes
        return awaited(on_the_page(store, clock, how, steps)), kept(store)


@pytest.mark.parametrize(
    ("path", "how"),
    [(path, how) for path in sorted(SITTINGS.glob("*.md")) for how in read_golden(path).screens],
    ids=lambda part: part.stem if isinstance(part, Path) else part.replace(" ", "-"),
)
def test_terminal_pipe_and_page_tell_the_same(
    tmp_path: Path, path: Path, how: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Word by word, from the first question to the last answer, with the same events kept."""
    monkeypatch.setattr(Store, "usual_seconds", lambda _: EVERYDAY_SECONDS)  # as the kit's sittings expect
    case: Golden = read_golden(path)
    steps = list(pressed(steps_of(case.screens[how])))
    (tmp_path / "other").mkdir()
    other = played(tmp_path / "other", case.note, case.settings, how, steps)
    page, page_events = sat(tmp_path, case, how, steps)
    told = without_own(page)

    assert len(told) > 200
    assert told == without_own(other)[: len(told)]
    with Store.open(tmp_path / "other" / "store.db", SetClock(MORNING)) as opened_again:
        assert kept(opened_again) == page_events
