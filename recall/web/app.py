"""The application, put together. No thread, no socket and no file but the store's is its own: it is called by a
server on this computer, by a test, or by a worker in the browser itself."""

import random
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import Response

from recall.base.clock import Clock
from recall.base.errors import RecallError
from recall.web import assets
from recall.web.guard import Guard
from recall.web.pages import PAGES, today
from recall.web.pairing import Pairing
from recall.web.render import refusal
from recall.web.room import Room
from recall.web.under_way import UnderWay

if TYPE_CHECKING:
    from recall.cohort.view import Class

HERE = ("127.0.0.1", "localhost", "[::1]")
"""Names by which a browser on this computer may call."""


def application(
    store: Path,
    clock: Clock,
    rng: random.Random,
    *,
    decks: Sequence[str] = (),
    notes: Path | None = None,
    group: "Class | None" = None,
    lan: str = "",
    framed: bool = False,
) -> Starlette:
    """The page over a store. decks: slugs that are asked, empty for all; notes: a folder that is written in, shown as
    it is saved; group: a class whose hand-ins are looked at; lan: address and port at which other devices
    may call, empty for none; framed: it runs inside the browser itself, in a frame of its own site."""
    room = Room(store, clock, rng, tuple(decks), notes, group)
    pairing = Pairing(room, lan)
    hosts = frozenset((*HERE, *filter(None, [lan.rpartition(":")[0]])))

    @asynccontextmanager
    async def life(_: Starlette) -> AsyncIterator[None]:
        with suppress(RecallError):  # the first page says it
            today.prepare(room)
        try:
            yield
        finally:
            room.close()

    app = Starlette(
        routes=[*assets.routes(), *(route for page in PAGES for route in page.routes)],
        middleware=[Middleware(Guard, room=room, hosts=hosts, pairing=pairing, framed=framed)],
        exception_handlers={404: _nowhere, 405: _nowhere},
        lifespan=life,
    )
    app.state.room = room
    app.state.pairing = pairing
    app.state.framed = framed
    app.state.untaken = []
    app.state.lasting = True
    app.state.under_way = UnderWay(room)
    return app


async def _nowhere(request: Request, error: Exception) -> Response:
    return refusal(request, "there is no such page", "Begin at Today.", getattr(error, "status_code", 404))
