"""Pictures that notes name: with the answer, on the point's page, and while the notes are written."""

import re
from html import unescape
from pathlib import Path

import publish_kit
import pytest
from cli_kit import recall
from web_kit import Caller, called

PICTURE = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4"><path d="M0 0L4 4"/></svg>'
NOTE = """\
---
deck: small
revision: 1
effective: 2026-03-01
---
# Fuel

| Control | Position |
| --- | --- |
| Pump ![the panel](img/panel.svg) | ON |
| Crossfeed ![gone](img/gone.svg) | SHUT |
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A deck whose first row has a picture, and whose second one names a file that isn't there."""
    folder = tmp_path / "small"
    (folder / "img").mkdir(parents=True)
    (folder / "img/panel.svg").write_bytes(PICTURE)
    (folder / "deck.md").write_text(NOTE, encoding="utf-8")
    return folder


@pytest.fixture(params=["notes", "published"])
def store(request: pytest.FixtureRequest, folder: Path, tmp_path: Path) -> Path:
    """A store that holds the deck, from its notes or from its published revision, whose notes are gone then."""
    place = folder
    if request.param == "published":
        (folder / "deck.md").write_text(NOTE.replace("![gone](img/gone.svg) ", ""), encoding="utf-8")
        place = publish_kit.published(folder, tmp_path / "out").path
        (folder / "img/panel.svg").unlink()
    assert 0 == recall("load", place, store=tmp_path / "store.db").code
    return tmp_path / "store.db"


def images(text: str) -> list[tuple[str, str]]:
    """Address and words of each picture of a page."""
    return [(unescape(a), unescape(b)) for a, b in re.findall(r'<img src="([^"]+)" alt="([^"]*)"', text)]


def pages(client: Caller) -> tuple[str, str, str]:
    """The pump's question, what is told of a wrong answer to it, and its point."""
    client.change("/review", {"action": "begin"})
    while "Pump" not in (put := client.read("/review")).partition('id="question"')[2].partition("</h1>")[0]:
        step(client, put, "stop me" if "next" not in put else "")
    told = step(client, put, "OFF")
    point = client.read("/" + unescape(re.findall(r'<a href="(point\?[^"]+)"', told)[0]))
    return put, told, point


def step(client: Caller, page: str, text: str) -> str:
    """Answer, or go on."""
    token = re.findall(r'name="token" value="([^"]+)"', page)[0]
    action = "next" if 'value="next"' in page else "answer"
    return str(client.change("/review", {"token": token, "action": action, "text": text}).text)


def test_a_picture_stands_with_the_answer(store: Path) -> None:
    """Not with its question; in place of the words that name it, and on the point's page."""
    with called(store) as client:
        put, told, point = pages(client)
        (address, words), *more = images(told)
        got = client.get(f"/{address}")

        assert [] == images(put)
        assert ("the panel", []) == (words, more)
        assert "Picture:" not in told
        assert [(address, words)] == images(point)
        assert (200, "image/svg+xml", PICTURE) == (got.status_code, got.headers["content-type"], got.content)
        assert "sandbox" in got.headers["content-security-policy"]
        assert 404 == client.get(f"/{address}".replace("panel.svg", "../deck.md")).status_code


def test_notes_that_are_written_show_theirs(folder: Path, tmp_path: Path) -> None:
    """As a student will see them; nothing beside them is given out."""
    assert 0 == recall("load", folder, store=tmp_path / "store.db").code
    with called(tmp_path / "store.db", notes=folder) as client:
        address, words = images(client.read("/notes?see=1"))[0]

        assert "the panel" == words
        assert PICTURE == client.get(f"/{address}").content
        assert 404 == client.get(f"/{address}".replace("panel.svg", "../deck.md")).status_code
        assert 404 == client.get("/picture").status_code
