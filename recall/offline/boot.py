"""The program inside a browser. A worker (`static/worker.js`) calls it: it keeps events, this makes a store
of them, and answers requests of the page with the very application that a laptop serves.

What the browser keeps is the truth: an event a line, as `recall events` writes them. The store lies in
memory.
"""

import json
import random
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.store import Store, damage
from recall.store.events import COLUMNS, to_dict
from recall.web.app import application

STORE = Path("/home/recall.db")
_HERE = (b"host", b"127.0.0.1")


class Tablet:
    """A person's store in a browser, and the page over it."""

    def __init__(self, rng: random.Random, path: Path = STORE) -> None:
        self.path = path
        self.rng = rng
        self.clock = SystemClock()
        self.last = 0

    # The store, out of what the browser keeps

    def open_snapshot(self, content: bytes, ids: Sequence[str]) -> list[str] | None:
        """Take a kept copy of the store. ids: of all events that are kept; gives those that the copy lacks.
        None where it is damaged, or knows an event that nobody kept: then it is to be made anew."""
        self._remove()
        self.path.touch(0o600)
        self.path.write_bytes(content)
        try:
            with Store.open(self.path, self.clock, create=False) as store:
                held = {row[0] for row in store.rows("SELECT id FROM event")}
                sound = not damage.damage_of(store.db) and store.one("PRAGMA quick_check") == "ok"
        except RecallError:
            sound, held = False, set()
        if not sound or held - set(ids):
            self._remove()
            return None
        return sorted(set(ids) - held)

    def make_anew(self, lines: Iterable[str]) -> str:
        """Make the store of all events that are kept; a new person's where there are none. In a sentence why it
        can't be, such as events of a later version, empty where it is made."""
        self._remove()
        listed = list(lines)
        try:
            if listed:
                Store.from_json(self.path, listed, self.clock).close()
            else:
                Store.open(self.path, self.clock, rng=self.rng).close()
        except RecallError as error:
            return error.sentences
        return ""

    def take(self, lines: Iterable[str]) -> str:
        """Take in events that a copy lacks; in a sentence why that can't be, empty where it is done."""
        try:
            with Store.open(self.path, self.clock, create=False) as store:
                store.read_json(lines, "what is kept", same_person=True)
        except RecallError as error:
            return error.sentences
        return ""

    def _remove(self) -> None:
        for tail in ("", "-wal", "-shm"):
            self.path.with_name(self.path.name + tail).unlink(missing_ok=True)

    def begin(self, local: str, kept: int) -> None:
        """Open the page over the store. local: what `local` gave, empty at first; kept: events that are
        kept."""
        self.app = application(self.path, self.clock, self.rng, framed=True)
        self.store: Store = self.app.state.room.store
        for name, value in json.loads(local or "{}").items():
            with self.store.writing():
                self.store.set_local(name, value)
        self.last = int(self.store.one("SELECT coalesce(max(no), 0) FROM event")) if kept else 0

    def tell_lasting(self, lasting: bool) -> None:
        """Whether the browser promised to keep what it holds when its storage runs short."""
        self.app.state.lasting = lasting

    def load(self, name: str, content: bytes) -> str:
        """Load a published file, as `recall load` does; in a sentence why it isn't, which the pages say too, empty
        where it is."""
        from recall.publish.receive import receive

        file = self.path.with_name(name)
        file.write_bytes(content)
        try:
            receive(self.store, file)
        except RecallError as error:
            self.app.state.untaken.append(error.sentences)
            return error.sentences
        finally:
            file.unlink()
        return ""

    # What is to be kept

    def new_events(self) -> list[tuple[str, str]]:
        """Events since this was last asked, as id and line, for the browser to keep."""
        rows = self.store.rows(
            f"SELECT no, {', '.join(COLUMNS)} FROM event WHERE no > ? ORDER BY no", [self.last]
        )
        if not rows:
            return []
        self.last = rows[-1][0]
        fresh = {row[1] for row in rows}
        if any(row[2] == "deck loaded" for row in rows):
            lines = ((json.loads(line)["id"], line) for line in self.store.events_json())
            return [(id, line) for id, line in lines if id in fresh]
        return [
            (row[1], json.dumps(to_dict(row[1:]), ensure_ascii=False, separators=(",", ":"))) for row in rows
        ]

    def local(self) -> str:
        """What concerns this device alone (where a sitting stands, what was handed over), to be kept too."""
        return json.dumps(dict(self.store.rows("SELECT name, value FROM local")))

    def snapshot(self) -> bytes:
        """A copy of the store, to be kept: it spares the next start most of its work."""
        copy = self.path.with_name("copy.db")
        copy.unlink(missing_ok=True)
        self.store.db.execute("VACUUM INTO ?", [str(copy)])
        content = copy.read_bytes()
        copy.unlink()
        return content

    # The page

    async def answer(
        self, method: str, path: str, query: str, headers: Sequence[tuple[str, str]], body: bytes
    ) -> tuple[int, list[tuple[str, str]], bytes]:
        """One request of the page: status, headers and body of its answer."""
        told: list[dict[str, Any]] = []
        waiting = [{"type": "http.request", "body": bytes(body), "more_body": False}]

        async def receive() -> dict[str, Any]:
            return waiting.pop() if waiting else {"type": "http.disconnect"}

        async def send(message: dict[str, Any]) -> None:
            told.append(message)

        sent = [
            (name.lower().encode("latin-1"), value.encode("latin-1", "replace")) for name, value in headers
        ]
        scope = {
            "type": "http",
            "asgi": {"version": "3.0"},
            "http_version": "1.1",
            "method": method,
            "scheme": "http",
            "path": path,
            "raw_path": path.encode(),
            "query_string": query.encode(),
            "root_path": "",
            "headers": [_HERE, *(pair for pair in sent if pair[0] != b"host")],
            "client": ("127.0.0.1", 0),
            "server": ("127.0.0.1", 80),
        }
        await self.app(scope, receive, send)  # type: ignore[arg-type]
        head = [(name.decode("latin-1"), value.decode("latin-1")) for name, value in told[0]["headers"]]
        return told[0]["status"], head, b"".join(message.get("body", b"") for message in told[1:])
