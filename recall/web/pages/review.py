"""Review: what is due, put question by question."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.dataclass import asdict, replace
from recall.insight.known import topics_of, weak_lines
from recall.session.begin import today_of
from recall.session.desk import Selection, all_or
from recall.session.end import nothing_due, told
from recall.web.guard import form_of
from recall.web.put import put, runs
from recall.web.render import go_to, page, page_later, room_of
from recall.web.steps import step, under_way, whole
from recall.web.under_way import PLANNED

MINUTES = (5, 10, 20, 30)


async def review(request: Request) -> Response:
    """The question that is put, the end, or what may be begun. plan: what the plan has for today."""
    now = under_way(request)
    if "plan" not in request.query_params:
        answer = show(request)
        now.ready_soon()
        return answer
    if request.app.state.framed:
        return go_to("plan")  # nothing is planned there
    room = room_of(request)
    chosen = Selection(all_or(room.store, room.decks), plan=True)
    left = now.left("review") == asdict(chosen)
    return page_later(
        request,
        "planned.html",
        "Review",
        PLANNED,
        now.mark(chosen),
        lambda own: today_of(own, chosen),
        left=left,
    )


def show(request: Request, notice: str = "", status: int = 200) -> Response:
    """The review as it stands. notice: a sentence ahead of it."""
    sitting = under_way(request).now("review")
    if sitting is None or "begin" in request.query_params:
        return _choices(request, notice, status)
    view = sitting.view()
    if view.end is not None:
        weak = weak_lines(topics_of(room_of(request).store))
        values = {"told": runs(told(view.end, weak, typed=False)), "more": view.end["more"], "notice": notice}
        return page(request, "over.html", "Review over", status, **values)
    return page(
        request,
        "put.html",
        "Review",
        status,
        notice=notice,
        **put(request, sitting, view, under_way(request).told("review", view)),
    )


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
        critical="critical" in request.query_params,
        minutes=MINUTES,
        planned=bool(store.settings().checkride_on),
    )


async def change(request: Request) -> Response:
    """Begin, or take a step."""
    form = form_of(request)
    if form.get("action") != "begin":
        return await step(request, "review", show)
    room = room_of(request)
    decks = all_or(room.store, room.decks)
    chosen = Selection(decks, minutes=whole(form, "minutes", 1, 1440), plan="plan" in form)
    if not chosen.plan:
        topic, critical, more = form.get("topic") or None, "critical" in form, "more" in form
        chosen = replace(chosen, topic=topic, critical=critical, more=more)
    if not under_way(request).is_made(chosen):
        return go_to("review?plan=1")
    if await under_way(request).begin("review", asdict(chosen)) is None:
        return show(request, nothing_due(room.store, chosen, more=""))
    return go_to("review")


routes = [Route("/review", review), Route("/review", change, methods=["POST"])]
