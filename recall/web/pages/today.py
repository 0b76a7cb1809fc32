"""Today: days to the checkride, minutes left, what is critical and shaky."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.session.target import target_of
from recall.web.render import page, room_of

SHAKY = 0.9
"""Recall under which a critical point is named here."""


async def today(request: Request) -> Response:
    """The first page."""
    store = room_of(request).store
    ahead = store.due_by_day(1)[0]
    target = target_of(store.settings())
    day = store.today()
    return page(
        request,
        "today.html",
        "Today",
        day=day,
        ahead=ahead,
        target=target,
        days=None if target is None else (target.on - day).days,
        decks=store.decks(),
    )


routes = [Route("/", today), Route("/today", today)]
