"""Templates into pages. Every page stands one level deep and links with relative addresses, so that all of it works
under any root, from a folder too."""

from dataclasses import dataclass
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse

from recall.base.text import CAUTION, count, percent, shown
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


@dataclass(frozen=True, slots=True)
class Way:
    """An entry of the navigation. address: relative; label: as it is said."""

    address: str
    label: str


def room_of(request: Request) -> Room:
    """What the pages share."""
    found: Room = request.app.state.room
    return found


def page(request: Request, template: str, title: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A whole page. title: what it is, for the tab and the head; values: what the template says."""
    return HTMLResponse(_rendered(request, template, title, values), status)


def parts_of(request: Request, template: str, title: str, **values: Any) -> tuple[str, str]:
    """A page in two parts, for one whose second part takes long: what stands before and behind `MADE`."""
    before, _, after = _rendered(request, template, title, values).partition(MADE)
    return before, after


def _rendered(request: Request, template: str, title: str, values: dict[str, Any]) -> str:
    from recall.web.guard import page_token
    from recall.web.pages import WAYS, WRITING

    return _templates.get_template(template).render(
        title=title,
        ways=WAYS if room_of(request).notes is None else (*WAYS, WRITING),
        here=request.url.path.rpartition("/")[2] or "today",
        token=page_token(room_of(request)),
        caution=CAUTION,
        framed=request.app.state.framed,
        only_here=only_here(room_of(request).store) if request.app.state.framed else (0, None),
        **values,
    )


def bare(template: str, title: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page for a device that isn't let in: it draws in nothing and tells nothing."""
    return HTMLResponse(_templates.get_template(template).render(title=title, **values), status)


def refusal(request: Request, what: str, help: str, status: int) -> HTMLResponse:
    """A request that can't be met, in a sentence, with what to do: without navigation, so that it needs no store."""
    plain = request.scope.get("bare", False)
    return bare("refused.html", "Not done", status, what=what[:1].upper() + what[1:], help=help, bare=plain)


def go_to(address: str) -> RedirectResponse:
    """Where a browser looks after a change: so that a page loaded anew changes nothing again."""
    return RedirectResponse(address, 303)
