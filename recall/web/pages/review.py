"""Review: what is due, put question by question."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.session.begin import Wish
from recall.session.desk import Selection, unasked_of
from recall.session.sitting import ACTIONS
from recall.session.view import StepError
from recall.web.guard import form_of
from recall.web.put import brought, put
from recall.web.render import go_to, page, room_of
from recall.web.under_way import UnderWay

SAID = {
    "past": "That question had been answered already: nothing was kept twice. The sitting stands here.",
    "other": "That question is of a sitting that is over, so nothing was kept of it.",
    "elsewhere": "The sitting was gone on with elsewhere, so nothing was kept here. Go on with it.",
}
"""Why a step wasn't taken, by the name of its refusal."""
MINUTES = (5, 10, 20, 30)


def under_way(request: Request) -> UnderWay:
    """The sittings of this program."""
    found: UnderWay = request.app.state.under_way
    return found


def told(refused: StepError) -> str:
    """A refused step in a sentence."""
    return SAID.get(refused.name) or f"{refused.what[:1].upper()}{refused.what[1:]}."


async def review(request: Request) -> Response:
    """The question that is put, the end, or what may be begun."""
    return show(request)


def show(request: Request, notice: str = "", status: int = 200) -> Response:
    """The review as it stands. notice: a sentence ahead of it."""
    sitting = under_way(request).now("review")
    if sitting is None:
        return _choices(request, notice, status)
    view = sitting.view()
    if view.end is not None:
        return page(request, "over.html", "Review over", status, notice=notice, **brought(request, view.end))
    return page(request, "put.html", "Review", status, notice=notice, **put(request, sitting, view))


def _choices(request: Request, notice: str, status: int) -> Response:
    """What may be begun, and what was left off."""
    room = room_of(request)
    store = room.store
    left = under_way(request).left("review")
    topics = sorted({card.topic[:depth] for card in store.cards() for depth in range(1, len(card.topic) + 1)})
    return page(
        request,
        "begin.html",
        "Review",
        status,
        notice=notice,
        left=left,
        ahead=store.due_by_day(1)[0],
        topics=[" / ".join(topic) for topic in topics],
        topic=request.query_params.get("topic", ""),
        minutes=MINUTES,
        planned=bool(store.settings().checkride_on),
    )


async def change(request: Request) -> Response:
    """Begin, go on, or take a step."""
    form, now = form_of(request), under_way(request)
    action = form.get("action", "")
    if action == "go on":
        scope = now.left("review")
        if scope is not None:
            now.begin("review", scope)
        return go_to("review")
    if action == "begin":
        wish = _wish(request, form)
        if now.begin("review", wish.plain()) is None:
            return show(request, _nothing(request, wish))
        return go_to("review")
    if action not in ACTIONS:
        raise RecallError(f"there is no step `{action}`", "open Review again and go on from there")
    try:
        now.step("review", form.get("token", ""), action, typed(form), seconds_of(form))
    except StepError as refused:
        return show(request, told(refused), 409)
    return go_to("review")


def typed(form: dict[str, str]) -> str:
    """What was typed; its lines end as they do at a terminal."""
    return form.get("text", "").replace("\r\n", "\n")


def seconds_of(form: dict[str, str]) -> float | None:
    """Seconds to the first key as the page measured them; None where it couldn't."""
    try:
        seconds = float(form.get("seconds", ""))
    except ValueError:
        return None
    return seconds if 0 <= seconds <= 3600 else None


def _wish(request: Request, form: dict[str, str]) -> Wish:
    room = room_of(request)
    planned = "plan" in form
    minutes = form.get("minutes", "")
    if minutes and not (minutes.isdigit() and 0 < int(minutes) <= 1440):
        raise RecallError(f"`{minutes}` minutes can't be", "give a number from 1 to 1440")
    selection = (
        Selection(room.decks)
        if planned
        else Selection(room.decks, form.get("topic") or None, None, "critical" in form, "more" in form)
    )
    return Wish(selection, float(minutes) if minutes else None, None, planned)


def _nothing(request: Request, wish: Wish) -> str:
    """Why nothing is asked, and when something will be."""
    store = room_of(request).store
    ahead: Any = next((day for day in store.due_by_day(366)[1:] if day.due or day.unasked), None)
    when = f" Next: {ahead.date}." if ahead is not None else ""
    more = len(unasked_of(store, wish.selection))
    return f"Nothing is due.{when}" + (f" {more} more could be begun today." if more else "")


routes = [Route("/review", review), Route("/review", change, methods=["POST"])]
