"""The page in a folder, in a browser: hosted, opened, answered by its buttons or by what they send, looked into."""

import base64
import functools
import hashlib
import http.server
import json
import re
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from html import unescape
from pathlib import Path
from typing import Any, ClassVar

from browsers import Browser

CLOCK = b"""\
const machine = Date.now.bind(Date), told = new BroadcastChannel("clock");
let stands = null;
Date.now = () => stands ?? machine();
told.onmessage = ({ data }) => {
  if (data === "full") IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
  else stands = data;
  told.postMessage("set");
};
"""
"""Ahead of the program's own thread: a clock that stands where a test sets it, and a storage that it fills."""
_LOOK = re.compile(r'data-token="([^"]*)" data-phase="(\w+)"')
_QUESTION = re.compile(r'<h1 id="question">(.*?)</h1>', re.DOTALL)
_TOKEN = re.compile(r'name="page-token" content="([0-9a-f]+)"')
UNTIL = """\
const until = async (holds, what, most = 180) => {
  for (const end = Date.now() + 1000 * most; Date.now() < end; await new Promise((good) => setTimeout(good, 15))) {
    const found = holds();
    if (found) return found;
  }
  throw new Error(`never: ${what}; ${document.body.innerText}`);
};
"""
PRESS = """\
const page = document.getElementById("page").contentWindow, { action, text, seconds } = given;
const main = page.document.querySelector("main");
await new Promise((good) => setTimeout(good, 320));
const line = { answer: "answer", remark: "remark" }[action];
page.Date.now = () => JSON.parse(page.sessionStorage.getItem("put")).shown + 1000 * seconds;
if (line) {
  const field = page.document.getElementById(line);
  field.value = text;
  field.dispatchEvent(new page.Event("input", { bubbles: true }));
}
const form = line && page.document.getElementById(line).form;
(form ? form.querySelector("button") : main.querySelector(`button[value="${action}"]`)).click();
await until(() => page.document.querySelector("main") !== main, action);
return page.document.documentElement.outerHTML;
"""


class _Static(http.server.SimpleHTTPRequestHandler):
    """Any static host. instead: files that it serves otherwise than they lie there; elsewhere: see `hosted`."""

    extensions_map: ClassVar[dict[str, str]] = {
        **http.server.SimpleHTTPRequestHandler.extensions_map,
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
        ".webmanifest": "application/manifest+json",
    }

    def __init__(self, *words: Any, instead: Mapping[str, bytes], elsewhere: bool, **named: Any) -> None:
        self.instead = instead
        self.elsewhere = elsewhere
        super().__init__(*words, **named)

    def do_GET(self) -> None:
        """Serve a file."""
        name = self.path.partition("?")[0].lstrip("/")
        if name not in self.instead:
            super().do_GET()
            return
        content = self.instead[name]
        self.send_response(200)
        self.send_header("Content-Type", self.guess_type(name))
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

    def end_headers(self) -> None:
        """As a host does that other sites may fetch from (Fetch standard, CORS protocol)."""
        if self.elsewhere:
            self.send_header("Access-Control-Allow-Origin", "*")
        super().end_headers()

    def log_message(self, *_: object) -> None:
        """Quiet."""


@dataclass
class Host:
    """A static host. instead: files by their path, served otherwise than they lie there."""

    folder: Path
    instead: dict[str, bytes] = field(default_factory=dict)
    elsewhere: bool = False
    port: int = 0
    _server: http.server.ThreadingHTTPServer | None = None

    def start(self) -> "Host":
        """Serve, at the port of before."""
        handler = functools.partial(
            _Static, directory=str(self.folder), instead=self.instead, elsewhere=self.elsewhere
        )
        self._server = http.server.ThreadingHTTPServer(("127.0.0.1", self.port), handler)
        self.port = self._server.server_port
        threading.Thread(target=self._server.serve_forever, daemon=True).start()
        return self

    def stop(self) -> None:
        """Serve no more."""
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()
            self._server = None

    @property
    def address(self) -> str:
        """Of its root."""
        return f"http://127.0.0.1:{self.port}/"


def listed_anew(folder: Path, changed: Mapping[str, bytes]) -> dict[str, bytes]:
    """What a host must serve instead, so that a page with changed files is one that was made so."""
    listed = json.loads((folder / "files.json").read_bytes())
    before = integrity((folder / "files.json").read_bytes())
    listed["files"] |= {name: integrity(content) for name, content in changed.items()}
    files = json.dumps(listed).encode()
    service = (folder / "service.js").read_bytes().replace(before.encode(), integrity(files).encode())
    return {**changed, "files.json": files, "service.js": service}


def integrity(content: bytes) -> str:
    """The SHA-256 of a file as W3C Subresource Integrity writes it (section 3.1)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(content).digest()).decode()


@contextmanager
def hosted(folder: Path, *, clock: bool = False, elsewhere: bool = False) -> Iterator[Host]:
    """A folder on a static host. clock: the program's clock can be set; elsewhere: other sites may fetch from it."""
    host = Host(folder, elsewhere=elsewhere).start()
    if clock:
        host.instead |= listed_anew(folder, {"worker.js": CLOCK + (folder / "worker.js").read_bytes()})
    try:
        yield host
    finally:
        host.stop()


@dataclass(frozen=True)
class Look:
    """A sitting's page. token: empty where nothing is put."""

    token: str
    phase: str
    question: str
    html: str

    @classmethod
    def of(cls, html: str) -> "Look":
        """Read a page."""
        put, question = _LOOK.search(html), _QUESTION.search(html)
        token, phase = put.groups() if put else ("", "")
        return cls(token, phase, unescape(question[1]) if question else "", html)


@dataclass
class Tablet:
    """The page in a browser. by_buttons: a step is taken by the page's own fields and buttons, else by what they
    send."""

    browser: Browser
    address: str
    by_buttons: bool = False
    now: Look = field(default_factory=lambda: Look("", "", "", ""))

    def up(self, path: str = "") -> None:
        """Open it, and wait until the program runs."""
        self.browser.open(self.address + (f"#{path}" if path else ""))
        code = """await until(() => ["page", "again"].some((one) => !document.getElementById(one).hidden), "up");
            return document.getElementById("page").hidden && document.body.innerText;"""
        assert not (said := self.browser.js(UNTIL + code)), said

    def says(self, words: str) -> str:
        """Open it where it won't run, and wait until it says why; all that it says."""
        self.browser.open(self.address)
        return self.said(words)

    def said(self, words: str) -> str:
        """Wait until it says so in its frame; all that it says."""
        code = "const all = () => document.body.innerText; await until(() => all().includes(given), given);"
        code += "return all();"
        return str(self.browser.js(UNTIL + code, words))

    def set_clock(self, moment: datetime) -> None:
        """Set the program's clock."""
        self._tell(round(moment.timestamp() * 1000))

    def fill(self) -> None:
        """Have the storage full from now on (Indexed Database API, 5.7: QuotaExceededError)."""
        self._tell("full")

    def _tell(self, what: Any) -> None:
        code = """const told = new BroadcastChannel("clock");
            const set = new Promise((good) => { told.onmessage = good; });
            told.postMessage(given); await set; told.close();"""
        self.browser.js(code, what)

    def call(self, path: str, form: Mapping[str, str] | None = None) -> tuple[int, str]:
        """What a page of the program answers, as its own pages ask it: status and text."""
        code = """const page = document.getElementById("page").contentWindow;
            const body = given.form && new URLSearchParams(given.form);
            const answer = await page.fetch(given.path, body ? { method: "POST", body } : {});
            return [answer.status, await answer.text()];"""
        status, text = self.browser.js(code, {"path": path, "form": form})
        return status, text

    def page(self, path: str, form: Mapping[str, str] | None = None) -> str:
        """A page that must be there. form: what is sent."""
        if form is not None:
            found = _TOKEN.search(self.page("settings"))
            assert found
            form = {"page": found[1], **form}
        status, text = self.call(path, form)
        assert 200 == status, (path, status, text)
        return text

    def begin(self, **fields: str) -> Look:
        """Begin a review."""
        html = self.page("review", {"action": "begin", **fields})
        if self.by_buttons:
            self.go("review")
        self.now = Look.of(html)
        return self.now

    def go(self, path: str) -> None:
        """Follow the page's own link."""
        code = f"""{UNTIL} const frame = document.getElementById("page"), before = frame.contentDocument;
            before.querySelector(`nav a[href=${{given}}]`).click();
            const there = () => frame.contentDocument !== before && frame.contentDocument.readyState === "complete";
            await until(there, given);
            await until(() => frame.contentWindow.sessionStorage.getItem("put"), "script", 5).catch(() => 0);"""
        self.browser.js(code, path)

    def named(self) -> dict[str, str]:
        """The fields that name the question put."""
        found = _TOKEN.search(self.now.html)
        assert found
        return {"page": found[1], "token": self.now.token}

    def step(self, action: str, text: str = "", seconds: float = 2.0) -> Look:
        """Take a step."""
        if self.by_buttons:
            words = {"action": action, "text": text, "seconds": seconds}
            html = self.browser.js(UNTIL + PRESS, words)
        else:
            form = {**self.named(), "action": action, "text": text, "seconds": str(seconds)}
            _, html = self.call("review", form)
        self.now = Look.of(html)
        return self.now

    def save_events(self, file: Path) -> None:
        """Press the button that hands over, in a browser that shares no such files (W3C Web Share, 2.1.2); the file
        that it saves instead goes where the test can read it."""
        code = f"""{UNTIL} const frame = document.getElementById("page"), page = frame.contentWindow;
            page.location.href = new URL("handover", page.location.href);
            await until(() => frame.contentDocument?.querySelector("a[data-share]")
              && frame.contentDocument.readyState === "complete", "the page");
            let saved;
            const found = frame.contentWindow.navigator;
            found.canShare = () => true;
            found.share = () => Promise.reject(new DOMException("not such files", "NotAllowedError"));
            frame.contentWindow.URL.createObjectURL = (file) => {{ saved = file; return "#saved"; }};
            const told = frame.contentDocument.querySelector("[data-here]");
            frame.contentDocument.querySelector("a[data-share]").click();
            await until(() => told.textContent.startsWith("The file holds"), "saved");
            return saved.text();"""
        file.write_text(self.browser.js(code), encoding="utf-8")

    def events(self) -> list[dict[str, Any]]:
        """What the browser keeps, in order."""
        code = """const base = await new Promise((good) => {
              const request = indexedDB.open("recall"); request.onsuccess = () => good(request.result); });
            const all = base.transaction("events").objectStore("events").getAll();
            await new Promise((good) => { all.onsuccess = good; });
            base.close();
            return all.result;"""
        return [json.loads(line) for line in self.browser.js(code)]

    def snapshot(self, damage: str = "") -> bytes:
        """The kept copy of the store. damage: a script's body by which it is replaced, `bytes` being what it was."""
        code = f"""const base = await new Promise((good) => {{
              const request = indexedDB.open("recall"); request.onsuccess = () => good(request.result); }});
            const change = base.transaction("kept", "readwrite"), kept = change.objectStore("kept");
            const found = kept.get("snapshot");
            await new Promise((good) => {{ found.onsuccess = good; }});
            const bytes = found.result;
            {damage}
            await new Promise((good) => {{ change.oncomplete = good; }});
            base.close();
            const parts = [];
            for (let at = 0; at < (bytes?.length ?? 0); at += 8192) parts.push(bytes.subarray(at, at + 8192));
            return parts.map((part) => String.fromCharCode(...part)).join("");"""
        return str(self.browser.js(code)).encode("latin-1")
