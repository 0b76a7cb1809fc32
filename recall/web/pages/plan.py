"""Plan: the days to the checkride, what they bring, and the odds."""

from random import Random
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.session.target import Target, changed_target, keep_target, target_of
from recall.store import Store
from recall.store.handed import last_but_plans
from recall.web.guard import form_of
from recall.web.render import go_to, page, page_later, room_of

TYPED = ("on", "at", "minutes", "days_off", "aim")
"""What may be changed here of the checkride that is set."""


async def plan(request: Request) -> Response:
    """The page. on, at, minutes, days_off, aim: another checkride, only to be looked at."""
    room, asked = room_of(request), request.query_params
    store = room.store
    tried = any(name in asked for name in TYPED)
    try:
        target = _target(store, dict(asked)) if tried else target_of(store.settings())
    except RecallError as error:
        return page(request, "plan.html", "Plan", 409, **_form(store, None) | {"refused": error})
    if target is None:
        return page(request, "plan.html", "Plan", **_form(store, None))

    def make(own: Store) -> Any:
        from recall.web.planned import shown_plan

        return shown_plan(own, target, Random(f"{own.today()} {target.on}"), kept=not tried)

    mark, name = (last_but_plans(store), store.today(), target), "plan tried" if tried else "plan"
    values = _form(store, target) | {"tried": tried}
    return page_later(request, "plan.html", "Plan", name, mark, make, **values)


def _form(store: Store, target: Target | None) -> dict[str, Any]:
    settings = store.settings()
    fields = {
        "on": target.on.isoformat() if target else settings.checkride_on,
        "at": f"{target.at:%H:%M}" if target else settings.checkride_at,
        "minutes": f"{target.minutes if target else settings.checkride_minutes:g}",
        "days_off": str(target.days_off) if target else settings.days_off,
        "aim": target.aim if target else settings.checkride_for,
    }
    return {"fields": fields, "target": target, "tried": False}


def _target(store: Store, said: dict[str, str]) -> Target:
    minutes = said.get("minutes", "").strip() or None
    try:
        number = None if minutes is None else float(minutes)
    except ValueError:
        number = float("nan")
    if number is not None and not 1 <= number <= 1440:
        raise RecallError(f"minutes a day can't be `{minutes}`", "give a number from 1 to 1440")
    return changed_target(
        store,
        on=said.get("on") or None,
        at=said.get("at") or None,
        minutes=number,
        days_off=said.get("days_off"),
        aim=said.get("aim"),
    )


async def change(request: Request) -> Response:
    """Keep a checkride."""
    store = room_of(request).store
    target = _target(store, form_of(request))
    target.day_minutes(store.today())
    keep_target(store, target)
    return go_to("plan")


routes = [Route("/plan", plan), Route("/plan", change, methods=["POST"])]
