"""A point: its note, its cards, and the life of each."""

from collections.abc import Sequence
from datetime import date
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.base.settings import Settings
from recall.base.text import count, percent
from recall.insight.life import entry_told, life, standing_told
from recall.kinds.model import Card
from recall.publish.sources import SourceText
from recall.session import tell
from recall.session.begin import usual_aircraft
from recall.store import Known, Store
from recall.store.reports import Entry
from recall.web import chart
from recall.web.guard import form_of
from recall.web.put import pictures, runs
from recall.web.render import go_to, page, refusal, room_of

FARTHEST = 60
"""Lines of a note that are shown."""
AHEAD = 14
"""Days that a curve is drawn into the future, at least."""


async def point(request: Request) -> Response:
    """The page. id: of a point."""
    store = room_of(request).store
    known = store.cards_of(request.query_params.get("id", ""))
    if not known:
        return refusal(request, "there is no such point", "Look for it under Topics.", 404)
    sides = [_side(store, one) for one in known]
    cards: list[Card] = [side["card"] for side in sides]
    card = cards[0]
    last = min(max(one.line for one in known), card.line + FARTHEST)
    source = list(tell.source(card, SourceText(store).lines(card, last)))
    alike = all(one.condition == card.condition for one in cards)
    usual = usual_aircraft(store)
    return page(
        request,
        "point.html",
        f"{card.subject} ({card.condition})" if card.condition and alike else card.subject,
        applies="" if card.applies in usual else card.applies,
        card=card,
        sides=sides,
        source=runs(source),
        pictures={line: seen for one in cards for line, seen in pictures(room_of(request), one).items()},
    )


def _side(store: Store, known: Known) -> dict[str, Any]:
    """A card as it is shown, its life newest first."""
    entries, settings = store.history(known.id), store.settings()
    return {
        "card": store.card(known.id),
        "standing": list(standing_told(known, settings)),
        "chart": _chart(store, known, entries, settings),
        "remark": store.remark_on(known.id),
        "rows": [entry_told(entry, settings.home) for entry in reversed(entries)],
    }


def _chart(store: Store, known: Known, entries: Sequence[Entry], settings: Settings) -> chart.Chart | None:
    today = store.today()
    until = max(today.toordinal(), *(day.toordinal() for day in (known.due, today) if day)) + AHEAD
    found = life(entries, until, store.parameters())
    if found is None:
        return None
    aim = settings.aim(known.critical)
    now = found.curves[-1]
    at = min(now, key=lambda place: abs(place[0] - today.toordinal()))[1]
    told = f"Recall from {date.fromordinal(found.first)}: {count(len(found.answers), 'answer')}, {percent(at)} today"
    return chart.life(
        found.curves,
        [(one.day, 1.0 if one.recall is None else one.recall, one.mark != "missed") for one in found.answers],
        (found.first, found.last),
        aim,
        today.toordinal(),
        (date.fromordinal(found.first).isoformat(), date.fromordinal(found.last).isoformat()),
        f"{told}; asked again at {percent(aim)}.",
    )


async def remark(request: Request) -> Response:
    """Keep the person's own words on a card."""
    form, store = form_of(request), room_of(request).store
    known = store.known(form.get("card", ""))
    if "\0" in form.get("text", ""):
        raise RecallError("a remark is words", "leave out what isn't a letter")
    store.remark(known.id, form.get("text", "").strip())
    return go_to("point?" + urlencode({"id": known.point}))


routes = [Route("/point", point), Route("/remark", remark, methods=["POST"])]
