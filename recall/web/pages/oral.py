"""A mock oral: alone, or with an examiner who reads the questions out and marks at a second device."""

from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.session.begin import oral_scope
from recall.session.oral import told, told_missed
from recall.session.sitting import Sitting
from recall.session.view import View
from recall.store.answers import sittings
from recall.web.guard import form_of
from recall.web.put import put, runs
from recall.web.render import go_to, page, room_of
from recall.web.steps import step, under_way, whole

PAST_SHOWN = 8


async def oral(request: Request) -> Response:
    """The question that is put, the result, or what may be begun."""
    return show(request)


def show(request: Request, notice: str = "", status: int = 200) -> Response:
    """The oral as it stands, from the seat that the address names. notice: a sentence ahead of it."""
    sitting = under_way(request).now("oral")
    if sitting is None or "begin" in request.query_params:
        left = under_way(request).left("oral")
        return page(request, "oral.html", "Oral", status, notice=notice, left=left, past=_past(request))
    view = sitting.view()
    if view.end is not None:
        return page(
            request,
            "result.html",
            "Oral over",
            status,
            end=view.end,
            told=runs(told(view.end)),
            missed=runs(told_missed(view.end)),
            past=_past(request),
            notice=notice,
        )
    seat = request.query_params.get("seat", "")
    if sitting.examiner and seat not in ("examiner", "candidate"):
        return page(request, "seats.html", "Oral", status, notice=notice)
    if sitting.examiner and seat == "candidate":
        return page(request, "heard.html", "Oral", status, **_heard(sitting, view))
    return page(
        request,
        "put.html",
        "Oral",
        status,
        notice=notice,
        **put(request, sitting, view, under_way(request).told("oral", view)),
    )


def _heard(sitting: Sitting, view: View) -> dict[str, Any]:
    """What a candidate sees whose examiner marks: the question, and how far it is."""
    said = "" if sitting.drawn is None else " ".join(sitting.drawn.said)
    return {"view": view, "follow": view.token, "said": said}


def _past(request: Request) -> list[tuple[str, int, int]]:
    """Mock orals so far, the newest first: day, right answers, questions."""
    past = sittings(room_of(request).store)[-PAST_SHOWN:]
    return [(one.day.isoformat(), one.right, one.asked) for one in reversed(past)]


async def change(request: Request) -> Response:
    """Begin one, or take a step."""
    form = form_of(request)
    if form.get("action") != "begin":
        return await step(request, "oral", show)
    room = room_of(request)
    scope = oral_scope(room.decks or None, whole(form, "questions", 1, 10_000), "examiner" in form)
    await under_way(request).begin("oral", scope)
    return go_to("oral")


routes = [Route("/oral", oral), Route("/oral", change, methods=["POST"])]
