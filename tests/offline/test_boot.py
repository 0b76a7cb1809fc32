"""The program inside the browser, without the browser: events are the truth, a snapshot spares work, nothing
is lost."""

import hashlib
import json
import random
import re
import subprocess
import sys
from importlib.resources import files
from pathlib import Path
from urllib.parse import urlencode

import pytest
from cli_kit import recall
from loop_kit import awaited

from recall.cohort.handin import unseal
from recall.cohort.sealed import public_of
from recall.offline.boot import Tablet
from recall.store.handed import plan_told, tell_plan
from recall.store.needs import NEEDS

FIELDS = (1, "52a1b95e048b")
"""The format of what a browser keeps, and the digest of all fields of events under it."""


class Kept:
    """A browser's memory, and the program over it as the worker drives it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.events: dict[str, str] = {}
        self.local = ""
        self.snapshot = b""
        self.number = 0

    def start(self, *, made_anew: bool = False) -> Tablet:
        """Start the program, from the snapshot where there is one."""
        self.number += 1
        tablet = Tablet(random.Random(self.number), self.folder / f"{self.number}.db")
        lacking = (
            tablet.open_snapshot(self.snapshot, list(self.events))
            if self.snapshot and not made_anew
            else None
        )
        if lacking is None:
            assert "" == tablet.make_anew(self.events.values())
        elif lacking:
            assert "" == tablet.take(self.events[id] for id in lacking)
        tablet.begin(self.local, len(self.events))
        self.keep(tablet)
        return tablet

    def keep(self, tablet: Tablet) -> int:
        """Keep what is new; how many events."""
        fresh = tablet.new_events()
        self.events |= dict(fresh)
        self.local = tablet.local()
        return len(fresh)


def ask(
    tablet: Tablet, method: str, path: str, form: dict[str, str] | None = None, query: str = ""
) -> tuple[int, str]:
    """A request of the page, as the service worker passes it on."""
    headers = [("content-type", "application/x-www-form-urlencoded"), ("origin", "http://127.0.0.1")]
    body = urlencode(form or {}).encode()
    status, _, content = awaited(tablet.answer(method, path, query, headers, body))
    return status, content.decode()


def step(tablet: Tablet, text: str) -> None:
    """Answer the question that is put, or go on."""
    _, page = ask(tablet, "GET", "/review")
    if 'value="begin"' in page or ">Begin<" in page:
        token = re.search(r'name="page" value="(\w+)"', page)
        assert token
        ask(tablet, "POST", "/review", {"page": token[1], "action": "begin"})
        _, page = ask(tablet, "GET", "/review")
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page))
    action = "answer" if 'value="answer"' in page else "next"
    status, _ = ask(tablet, "POST", "/review", {**hidden, "action": action, "text": text})
    assert status in (200, 303)


def answered(kept: Kept) -> list[str]:
    """What was typed, in order."""
    return [
        json.loads(kept.events[id])["given"] for id in sorted(kept.events) if '"reviewed"' in kept.events[id]
    ]


@pytest.fixture
def kept(tmp_path: Path, published: Path) -> Kept:
    """A browser in which the deck was loaded."""
    browser = Kept(tmp_path)
    tablet = browser.start()
    assert "" == tablet.load(published.name, published.read_bytes())
    browser.keep(tablet)
    return browser


def test_each_press_gives_events_to_keep(kept: Kept) -> None:
    """Before the next question is shown, an answer is an event."""
    tablet = kept.start()
    step(tablet, "7")
    kept.keep(tablet)
    step(tablet, "")

    assert ["7"] == answered(kept)


def test_made_anew_of_events_alone_it_goes_on(kept: Kept) -> None:
    """Without a snapshot nothing is lost but time; the sitting goes on where it was."""
    tablet = kept.start()
    for text in ("7", "", "8", ""):
        step(tablet, text)
        kept.keep(tablet)
    _, before = ask(tablet, "GET", "/review")

    started = kept.start(made_anew=True)
    _, offered = ask(started, "GET", "/review")
    token = re.search(r'name="page" value="(\w+)"', offered)
    ask(started, "POST", "/review", {"page": token[1] if token else "", "action": "go on"})
    _, after = ask(started, "GET", "/review")

    question = re.compile(r'id="question">([^<]*)')
    assert ["7", "8"] == answered(kept)
    assert question.search(before)[1] == question.search(after)[1]  # type: ignore[index]


def test_what_is_here_alone_is_told_after_the_store_was_made_anew(kept: Kept) -> None:
    """The answers that were handed over before are counted as such, in whatever order the events come in again."""
    tablet = kept.start()
    for text in ("7", "", "8", ""):
        step(tablet, text)
    ask(tablet, "GET", "/events")
    for text in ("9", ""):
        step(tablet, text)
    kept.keep(tablet)

    before, after = (ask(one, "GET", "/today")[1] for one in (tablet, kept.start(made_anew=True)))

    assert all("1 answer since" in page for page in (before, after))


def test_a_snapshot_lacks_what_came_after_it(kept: Kept) -> None:
    """That is taken from the events; both give one store."""
    tablet = kept.start()
    kept.snapshot = tablet.snapshot()
    step(tablet, "7")
    kept.keep(tablet)

    assert 1 == len(
        Tablet(random.Random(1), kept.folder / "x.db").open_snapshot(kept.snapshot, list(kept.events)) or []
    )
    again, anew = kept.start(), kept.start(made_anew=True)
    sql = "SELECT id, standing, due, asked, right FROM card ORDER BY id"
    assert again.store.rows(sql) == anew.store.rows(sql)


@pytest.mark.parametrize("at", [0, 5_000, 60_000, -5_000])
def test_a_damaged_snapshot_is_made_anew(kept: Kept, at: int) -> None:
    """Never mended towards the damage."""
    tablet = kept.start()
    step(tablet, "7")
    kept.keep(tablet)
    content = bytearray(tablet.snapshot())
    content[at : at + 64 if at >= 0 else None] = bytes(64)
    kept.snapshot = bytes(content)

    started = kept.start()

    assert 1 == started.store.one("SELECT count(*) FROM event WHERE type = 'reviewed'")


def test_a_snapshot_that_knows_more_than_was_kept_is_not_believed(kept: Kept) -> None:
    """What wasn't kept was never acknowledged."""
    tablet = kept.start()
    step(tablet, "7")
    kept.snapshot = tablet.snapshot()

    assert None is Tablet(random.Random(1), kept.folder / "x.db").open_snapshot(
        kept.snapshot, list(kept.events)
    )


def test_an_altered_file_is_not_loaded(kept: Kept, published: Path) -> None:
    """The same checks as on a laptop, said in a sentence."""
    tablet = kept.start()

    said = tablet.load(published.name, published.read_bytes()[:-1] + b"x")

    assert "doesn't verify" in said


def test_a_file_of_another_publisher_is_not_loaded(kept: Kept, published: Path, tmp_path: Path) -> None:
    """The key of the first revision is held to; the pages say why."""
    tablet = kept.start()
    note = tmp_path / "parts" / "deck.md"
    note.write_text(note.read_text(encoding="utf-8").replace("revision: 1", "revision: 2"), encoding="utf-8")
    recall("keys", "new", tmp_path / "other.key")
    words = ("--sign", tmp_path / "other.key", "--out", tmp_path / "other")
    assert 0 == recall("publish", tmp_path / "parts", *words).code
    file = tmp_path / "other" / "parts-r2.zip"

    said = tablet.load(file.name, file.read_bytes())

    assert "key" in said
    assert said.split(".")[0] in ask(tablet, "GET", "/today")[1]
    assert ["1"] == [deck.revision for deck in tablet.store.decks()]


def test_events_of_a_later_version_are_not_written_to(kept: Kept) -> None:
    """An older page says so, and makes no store."""
    line = next(line for line in kept.events.values() if '"deck loaded"' in line)
    later = json.dumps(json.loads(line) | {"weather": "fair"})

    said = Tablet(random.Random(1), kept.folder / "later.db").make_anew([*kept.events.values(), later])

    assert "later version" in said


def test_a_new_field_of_an_event_is_a_new_format() -> None:
    """An older page must know by the format alone that it can't read what is kept: with another type or field of an
    event, raise FORMAT in `worker.js`, then the digest here."""
    fields = sorted(f"{type} {name}" for type, needs in NEEDS.items() for name in needs)
    digest = hashlib.sha256("\n".join(fields).encode()).hexdigest()[:12]
    worker = files("recall.offline").joinpath("static/worker.js").read_text(encoding="utf-8")

    assert FIELDS == (int(re.findall(r"FORMAT = (\d+)", worker)[0]), digest)


def test_the_page_may_stand_in_a_frame_of_its_own_site_alone(kept: Kept) -> None:
    """Nothing else of the policy is softer (CSP level 3, frame-ancestors)."""
    tablet = kept.start()
    _, head, _ = awaited(tablet.answer("GET", "/today", "", [], b""))
    policy = dict(head)["content-security-policy"]

    assert ("frame-ancestors 'self'" in policy, "unsafe" in policy) == (True, False)


LEAN = """
import sys
gone = "yaml numpy scipy networkx cryptography nacl platformdirs tzlocal reportlab rich watchfiles uvicorn typer"
for name in (*gone.split(), "prompt_toolkit"):
    sys.modules[name] = None
from pathlib import Path
import random
from recall.base.clock import SystemClock
from recall.offline.boot import Tablet
import asyncio
tablet = Tablet(random.Random(1), Path(sys.argv[1]))
tablet.make_anew([])
tablet.begin("", 0)
said = tablet.load("parts-r1.zip", Path(sys.argv[2]).read_bytes())
assert not said, said
for path in sys.argv[3:]:
    status, _, content = asyncio.run(tablet.answer("GET", path, "", [], b""))
    print(path, status)

import re
from urllib.parse import urlencode

page = re.search(rb'name="page-token" content="([0-9a-f]+)"', content)[1].decode()
headers = [("content-type", "application/x-www-form-urlencoded"), ("origin", "http://127.0.0.1")]

def post(path, **form):
    body = urlencode({"page": page} | form).encode()
    status, _, content = asyncio.run(tablet.answer("POST", path, "", headers, body))
    assert status == 303, (path, form, status, content)
    return asyncio.run(tablet.answer("GET", path, "", [], b""))[2].decode()

body = urlencode({"page": page, "deck": "parts", "to": "CLASS", "made": "yes"}).encode()
status, _, content = asyncio.run(tablet.answer("POST", "/hand-in", "", headers, body))
print("/hand-in", status)
Path(sys.argv[1]).with_name("me.handin").write_bytes(content)

post("/settings", checkride_on="2199-01-01")
for path, form in (("/review", {"minutes": "5"}), ("/oral", {"questions": "4"})):
    put = post(path, action="begin", **form)
    for number in range(4):
        token, phase = re.search(r'data-token="([^"]+)" data-phase="(\\w+)"', put).groups()
        put = post(path, action={"asking": "answer", "told": "next"}[phase], token=token, text=str(11 + number))
    print(f"{path} went on", 200 if "data-token" in put or "over</h1>" in put else 0)
"""


def test_the_pages_need_nothing_that_is_compiled(published: Path, tmp_path: Path) -> None:
    """With every such library out of reach a signed revision loads, each page is there, a review and a mock oral are
    sat, and a class opens what is handed in."""
    paths = ["/", "/today", "/review", "/oral", "/topics", "/supplies", "/settings", "/handover", "/plan"]
    code = LEAN.replace("CLASS", public_of(bytes(32)))
    ran = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "lean.db"), str(published), *paths],
        capture_output=True, text=True, check=False,
    )  # fmt: skip

    assert dict.fromkeys([*paths, "/hand-in", "/review went on", "/oral went on"], 200) == {
        path: int(status) for path, _, status in (line.rpartition(" ") for line in ran.stdout.splitlines())
    }, ran.stderr
    assert "parts" == unseal((tmp_path / "me.handin").read_bytes(), bytes(32)).deck


def test_no_plan_is_offered_that_cannot_be_made(kept: Kept) -> None:
    """Today leads to the one that was told; an address of a plan's day does too."""
    tablet = kept.start()
    tablet.store.set("checkride_on", "2199-01-01")

    pages = [ask(tablet, "GET", path)[1] for path in ("/today", "/review")]

    assert [] == [page for page in pages if "review?plan" in page]
    assert 'href="plan">as it was told last' in pages[0]
    assert 303 == ask(tablet, "GET", "/review", query="plan=1")[0]


def test_a_plan_of_the_laptop_is_shown_with_its_day(kept: Kept) -> None:
    """It comes with the laptop's file, as words."""
    tablet = kept.start()
    tell_plan(tablet.store, ["Checkride on Friday", "Mon: 20 min, 12 to review, 4 to begin"])

    found = plan_told(tablet.store)

    assert (tablet.store.today(), "Mon: 20 min, 12 to review, 4 to begin") == (
        found and found[0],
        found and found[1][1],
    )
