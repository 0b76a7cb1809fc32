"""Plan, where it can't be computed: inside a browser. It shows the one that came with the laptop's last file."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.store.handed import plan_told
from recall.web.render import page, room_of


async def plan(request: Request) -> Response:
    """The laptop's last plan, with its day."""
    return page(request, "elsewhere.html", "Plan", told=plan_told(room_of(request).store))


routes = [Route("/plan", plan)]
