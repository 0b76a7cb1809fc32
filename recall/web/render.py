"""Templates into pages. Every page stands one level deep and links with relative addresses, so that all of it works
under any root, from a folder too."""

from collections.abc import AsyncIterator, Callable
from typing import Any, cast

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response, StreamingResponse

from recall.base.errors import RecallError
from recall.base.text import CAUTION, count, percent, shown
from recall.store import Store
from recall.store.handed import only_here
from recall.web.room import Room

_templates = Environment(
    loader=PackageLoader("recall.web"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def said(text: str) -> Markup:
    """A sentence with what stands between its backticks as code; hidden characters escaped."""
    words = shown(text).split("`")
    if len(words) % 2 == 0:
        return escape("`".join(words))
    coded = (Markup("<code>{}</code>").format(one) if at % 2 else escape(one) for at, one in enumerate(words))
    return Markup("").join(coded)


_templates.filters |= {"count": count, "percent": percent, "shown": shown, "said": said}
MADE = "<!-- made -->"
"""In a template: from here on stands what takes long to make."""


def room_of(request: Request) -> Room:
    """What the pages share."""
    return cast(Room, request.app.state.room)


def page(request: Request, template: str, title: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A whole page. title: what it is, for the tab and the head; values: what the template says."""
    return HTMLResponse(_rendered(request, template, title, values), status)


def page_later(
    request: Request,
    template: str,
    title: str,
    name: str,
    mark: object,
    make: Callable[[Store], Any],
    **values: Any,
) -> Response:
    """A page for which something takes long to make: at once where it is kept under a name (`Room.apart`), else in
    two parts. The template gets it as `shown` and stands in two parts at `MADE`; before it is made `works` is true;
    `refused` is why it couldn't be."""
    room = room_of(request)
    if (known := room.made(name, mark)) is not None:
        return page(request, template, title, **values, shown=known)

    def part(at: int, **more: Any) -> str:
        return _rendered(request, template, title, values | more).split(MADE)[at]

    async def body() -> AsyncIterator[str]:
        yield part(0, works=True)
        try:
            yield part(1, shown=await room.apart(name, mark, make))
        except RecallError as error:
            yield part(1, refused=error)

    return StreamingResponse(body(), media_type="text/html; charset=utf-8")


def _rendered(request: Request, template: str, title: str, values: dict[str, Any]) -> str:
    from recall.web.guard import page_token
    from recall.web.pages import WAYS

    room = room_of(request)
    return _templates.get_template(template).render(
        title=title,
        ways=WAYS + ("notes",) * (room.notes is not None) + ("class",) * (room.group is not None),
        here=request.url.path.rpartition("/")[2] or "today",
        token=page_token(room),
        caution=CAUTION,
        framed=request.app.state.framed,
        untaken=request.app.state.untaken,
        only_here=only_here(room.store) if request.app.state.framed else (0, None),
        **{"works": False, "refused": None, "shown": None} | values,
    )


def alone(template: str, **values: Any) -> str:
    """A template by itself."""
    return _templates.get_template(template).render(caution=CAUTION, **values)


def bare(template: str, title: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page for a device that isn't let in: it draws in nothing and tells nothing."""
    return HTMLResponse(alone(template, title=title, **values), status)


def refusal(request: Request, what: str, help: str, status: int) -> HTMLResponse:
    """A request that can't be met, in a sentence, with what to do: without navigation, so that it needs no store."""
    plain = request.scope.get("bare", False)
    return bare("refused.html", "Not done", status, what=what[:1].upper() + what[1:], help=help, bare=plain)


def go_to(address: str) -> RedirectResponse:
    """Where a browser looks after a change: so that a page loaded anew changes nothing again."""
    return RedirectResponse(address, 303)
