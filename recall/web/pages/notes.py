"""Notes as they are written: a note beside the questions it makes, each piece by its fate, findings with their cures.
Nothing is written to the notes."""

import json
from asyncio import Lock, ensure_future, sleep
from collections import Counter, defaultdict
from collections.abc import AsyncIterator, Iterable
from urllib.parse import urlencode

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse
from starlette.routing import Route

from recall.base.dataclass import dataclass, field
from recall.base.errors import RecallError
from recall.base.finding import Finding
from recall.deck.held import Held
from recall.deck.model import Source
from recall.deck.pictures import PICTURE, in_card
from recall.deck.read import Written, read_written
from recall.deck.source import file_shown, find_sources, notes_digest
from recall.kinds.fates import ENDINGS
from recall.kinds.model import Card
from recall.web.render import page, refusal, room_of
from recall.web.room import Room

LINES = 100
"""Of a note at once."""
MOST_FOUND = 30
STILL = ": nothing new\n\n"
"""What a stream says that has nothing to say: a comment, by the HTML standard's server-sent events."""
ALIVE = 15_000
"""Milliseconds after which a quiet stream says that it lives."""
SETTLE = 50
"""Milliseconds in which writes are taken together."""


@dataclass(slots=True)
class Line:
    """A line of a note with what is made of it. fate: of its pieces, the one that tells most; ends: how many of them
    came to each; why: where one is passed over."""

    number: int
    text: str
    fate: str = ""
    ends: Counter[str] = field(default_factory=Counter)
    why: list[str] = field(default_factory=list)
    cards: list[Card] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)


@dataclass(slots=True)
class Desk:
    """A deck that is written, as last read. changed: the note and line where the last change begins."""

    held: Held = field(default_factory=Held)
    mark: str = ""
    written: Written | None = None
    changed: tuple[str, int] = ("", 1)
    reading: Lock = field(default_factory=Lock)


def _source(room: Room, slug: str) -> Source:
    """The deck of that name below the folder that is written in; the first one where none is named."""
    if room.notes is None:
        raise RecallError("no notes are named", "start it with them: recall page PATH")
    sources = find_sources(room.notes)
    return next((one for one in sources if one.place.name == slug), sources[0])


async def _read(room: Room, source: Source) -> Desk:
    """Read it where it isn't what it was; other pages are answered meanwhile."""
    desk: Desk = room.kept(f"desk {source.place}", "", Desk)
    today = room.store.today()
    async with desk.reading:
        mark = notes_digest(source)
        if desk.written is None or desk.mark != mark:
            written = await run_sync(read_written, source, desk.held, today)
            if desk.written is not None:
                desk.changed = _first_change(desk.written, written) or desk.changed
            desk.written, desk.mark = written, mark
    return desk


def _first_change(before: Written, now: Written) -> tuple[str, int] | None:
    """The first note that differs, and its first line that does."""
    for file, made in now.notes.items():
        old, lines = before.notes[file].note.lines if file in before.notes else (), made.note.lines
        if old != lines:
            pairs = zip(old, lines, strict=False)
            same = next((at for at, (one, two) in enumerate(pairs, 1) if one != two), 0)
            return file, same or min(len(old), len(lines)) + 1
    return None


async def notes(request: Request) -> Response:
    """The page. deck: a slug; file: a note; at: a line that is to be seen."""
    room, asked = room_of(request), request.query_params
    source = _source(room, asked.get("deck", ""))
    desk = await _read(room, source)
    assert desk.written is not None
    written, files = desk.written, [file_shown(file) for file in source.files]
    file = asked.get("file") or files[0]
    if file not in files:
        return refusal(request, "there is no such note in the deck", "Open Notes again.", 404)
    found: dict[str, list[Finding]] = defaultdict(list)
    for said in written.findings:
        found[said.place.file].append(said)
    total = len(written.notes[file].note.lines) if file in written.notes else 1
    at = min(int(asked["at"]), total) if asked.get("at", "").isdecimal() else 1
    first = max(0, (at - 1) // LINES * LINES)
    lines = _lines(written, file, found[file], first)
    asks = Counter(card.file for card in written.deck.cards)
    return page(
        request,
        "notes.html",
        f"Notes: {file}",
        deck=written.deck,
        slug=source.place.name,
        mark=desk.mark,
        decks=[one.place.name for one in find_sources(room.notes or source.root)],
        file=file,
        files=[(one, asks[one], len(found[one])) for one in files],
        lines=lines,
        first=first + 1,
        last=min(first + LINES, total),
        total=total,
        step=LINES,
        ends=Counter(line.fate for line in lines if line.fate),
        endings=ENDINGS,
        found=sorted(found[file], key=lambda said: SEVERE.index(said.severity))[:MOST_FOUND],
        of=len(found[file]),
        everywhere=len(written.findings),
        unread=file in written.deck.paused_files,
        sees="see" in asked,
        address=lambda **more: "notes?" + urlencode({"deck": source.place.name, "file": file} | more),
        in_card=in_card,
        picture=PICTURE,
        pictured=lambda name: "picture?" + urlencode({"deck": source.place.name, "file": file, "name": name}),
        other=lambda name: "notes?" + urlencode({"deck": source.place.name, "file": name}),
    )


SEVERE = ("error", "warning", "note")


def _lines(written: Written, file: str, found: Iterable[Finding], first: int) -> list[Line]:
    """The lines behind the first ones, each with its pieces' fate, its questions and its findings."""
    if file not in written.notes:
        return [Line(1, "", findings=list(found))]
    texts = written.notes[file].note.lines[first : first + LINES] or ("",)
    lines = [Line(number, text) for number, text in enumerate(texts, first + 1)]
    at = {line.number: line for line in lines}
    for fate in written.fates(file, first + 1, first + LINES):
        if (line := at.get(fate.place.line)) is not None:
            line.ends[fate.fate] += 1
            if not line.fate or ENDINGS.index(fate.fate) < ENDINGS.index(line.fate):
                line.fate = fate.fate
            if fate.fate == "passed over" and fate.why not in line.why:
                line.why.append(fate.why)
    for card in written.deck.cards:
        if card.file == file and card.line in at:
            at[card.line].cards.append(card)
    for said in found:
        if said.place.line in at:
            at[said.place.line].findings.append(said)
    return lines


async def news(request: Request) -> Response:
    """A stream that says each time when the notes were saved: in which note, from which line on. mark: of the notes
    as the page shows them."""
    room, slug = room_of(request), request.query_params.get("deck", "")
    seen = request.query_params.get("mark", "")
    place = _source(room, slug).place

    async def body() -> AsyncIterator[str]:
        from watchfiles import awatch

        nonlocal seen
        watch = awatch(
            place if place.is_dir() else place.parent,
            debounce=SETTLE,
            step=SETTLE // 2,
            rust_timeout=ALIVE,
            yield_on_timeout=True,
        )
        saved = ensure_future(anext(watch))
        try:
            await sleep(0)  # it watches from here on: what is saved before the first look is seen by that
            while True:
                told, seen = await _told(room, slug, seen)
                yield told
                await saved
                saved = ensure_future(anext(watch))
        finally:
            saved.cancel()

    return StreamingResponse(body(), media_type="text/event-stream")


async def _told(room: Room, slug: str, seen: str) -> tuple[str, str]:
    """What a stream says of notes that were seen with a mark, and their mark now."""
    try:
        desk = await _read(room, _source(room, slug))
    except (RecallError, OSError):
        return f"data: {json.dumps({'file': '', 'line': 1})}\n\n", ""
    if desk.mark == seen:
        return STILL, seen
    return f"data: {json.dumps(dict(zip(('file', 'line'), desk.changed, strict=True)))}\n\n", desk.mark


routes = [Route("/notes", notes), Route("/notes-news", news)]
