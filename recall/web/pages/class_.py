"""Class: what a class still misses, from its hand-ins, and a point of it down to the line of the note."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.publish.sources import lines_at
from recall.session import tell
from recall.web.chart import strip
from recall.web.put import runs
from recall.web.render import alone, page, page_later, refusal, room_of
from recall.web.room import Room

if TYPE_CHECKING:
    from recall.cohort.rates import Rate
    from recall.cohort.view import View
    from recall.kinds.model import Card
    from recall.store import Store

NONE = ("no class is looked at here", "Serve the page with its folder: recall page --class FOLDER.", 404)
NAME = "class"
"""Under which the views looked at last are kept."""


def _tape(rate: "Rate") -> Markup:
    """The interval of what is missed, with its share on it."""
    _, share, between = rate.in_words
    return strip(1 - rate.high, 1 - rate.low, rate.missed, f"missed {share}, {between}")


def _words() -> dict[str, Any]:
    from recall.cohort.rates import STEPS
    from recall.cohort.view import FEW

    return {"few": FEW, "steps": STEPS, "tape": _tape}


def printed(views: "Sequence[View]") -> str:
    """The same as one file that needs nothing else."""
    style = files("recall.web").joinpath("static/recall.css").read_text(encoding="utf-8")
    return alone("class_printed.html", shown=views, style=Markup(style), **_words())


def _asked(room: Room, asked: Mapping[str, str]) -> tuple[str, date | None, object]:
    """A revision and a date that are asked about, and a mark of all that the views rest on."""
    try:
        on = date.fromisoformat(asked["on"]) if asked.get("on") else None
    except ValueError:
        raise RecallError(f"`{asked['on']}` is no date", "write it like 2027-03-01") from None
    assert room.group is not None
    since = asked.get("since", "")
    return since, on, (room.group.mark(), room.store.today(), since, on)


async def class_(request: Request) -> Response:
    """The page. on: a date, for who is ready; since: a revision, for what changed."""
    room = room_of(request)
    if (group := room.group) is None:
        return refusal(request, *NONE)
    since, on, mark = _asked(room, request.query_params)
    more = {name: str(value) for name, value in (("since", since), ("on", on)) if value}

    def link(view: "View") -> Callable[[str], str]:
        return lambda id: "class-point?" + urlencode({"deck": view.taught.slug, "id": id} | more)

    def make(own: "Store") -> "list[View]":
        return group.views(own.today(), since=since, on=on)

    values = _words() | {"link": link, "on": on or "", "since": since}
    return page_later(request, "class.html", "Class", NAME, mark, make, **values)


async def point(request: Request) -> Response:
    """A point. deck: its slug; id: its own; on, since: as the class was looked at."""
    room, asked = room_of(request), request.query_params
    if (group := room.group) is None:
        return refusal(request, *NONE)
    since, on, mark = _asked(room, asked)
    views = room.kept(NAME, mark, lambda: group.views(room.store.today(), since=since, on=on))
    view = next((one for one in views if one.taught.slug == asked.get("deck")), None)
    one = next((one for one in view.points if one.card.point == asked.get("id")), None) if view else None
    if view is None or one is None:
        return refusal(request, "there is no such point", "Look for it under Class.", 404)
    root = view.taught.source.place
    lines = lines_at(root, one.card)
    return page(
        request,
        "class_point.html",
        one.named,
        view=view,
        one=one,
        source=runs(list(tell.source(one.card, lines))),
        written=_written(room, root, one.card),
        back="class?" + urlencode({name: asked[name] for name in ("since", "on") if name in asked}),
    )


def _written(room: Room, root: Path, card: "Card") -> str:
    """Where the page shows the note as it is written; empty where it doesn't."""
    if room.notes is None or not root.is_relative_to(room.notes.resolve()):
        return ""
    return (
        "notes?" + urlencode({"deck": root.name, "file": card.file, "at": card.line}) + f"#line-{card.line}"
    )


routes = [Route("/class", class_), Route("/class-point", point)]
