"""The application by itself: it can be called anywhere, a worker in a browser included."""

import random
import socket
import subprocess
import sys
import threading
from pathlib import Path

import pytest
from httpx2 import ASGITransport, AsyncClient
from loop_kit import awaited
from web_kit import HOST, MORNING

from recall.base.clock import SetClock
from recall.web.app import application

COMPILED = """
import sys
import recall.web.app
for name, module in sorted(sys.modules.items()):
    file = getattr(module, "__file__", None) or ""
    if file.endswith((".so", ".pyd")) and "-packages" in file:
        print(name.split(".")[0])
"""
OPTIONAL = {"markupsafe"}
"""Does the same without its compiled part."""


def test_it_is_put_together_without_compiled_parts() -> None:
    """What a page needs of them it imports when it is looked at."""
    done = subprocess.run([sys.executable, "-c", COMPILED], capture_output=True, text=True, check=True)

    assert set(done.stdout.split()) <= OPTIONAL


def test_it_starts_no_thread_and_opens_no_socket(store: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not for its pages, its files or a step of a sitting."""

    def forbidden(*_: object, **__: object) -> None:
        raise AssertionError("a thread or a socket")

    async def looked_at() -> list[int]:
        app = application(store, SetClock(MORNING), random.Random(1))
        transport = ASGITransport(app=app, client=("127.0.0.1", 1))
        async with AsyncClient(transport=transport, base_url=f"http://{HOST}") as client:
            monkeypatch.setattr(threading.Thread, "start", forbidden)
            monkeypatch.setattr(socket, "socket", forbidden)
            token = (await client.get("/today")).text.partition('page-token" content="')[2][:32]
            form, origin = {"page": token, "action": "begin"}, {"Origin": f"http://{HOST}"}
            begun = await client.post("/review", data=form, headers=origin)
            paths = ("/review", "/topics", "/oral", "/settings", "/supplies", "/static/recall.css", "/none")
            answers = [await client.get(path) for path in paths]
        app.state.room.close()
        return [begun.status_code, *(answer.status_code for answer in answers)]

    codes = awaited(looked_at())
    monkeypatch.undo()

    assert [303, 200, 200, 200, 200, 200, 200, 404] == codes
