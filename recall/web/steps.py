"""A press on a page as a step of a sitting, for a review and an oral alike."""

from collections.abc import Callable, Mapping

from starlette.requests import Request
from starlette.responses import Response

from recall.base.errors import RecallError
from recall.session.commands import command, help_with, words_behind
from recall.session.desk import Selection
from recall.session.view import ACTIONS, StepError
from recall.web.guard import form_of
from recall.web.render import go_to
from recall.web.under_way import UnderWay, Which

SAID = {
    "past": "That question had been answered already: nothing was kept twice. The sitting stands here.",
    "other": "That question is of a sitting that is over, so nothing was kept of it.",
    "elsewhere": "The sitting was gone on with elsewhere, so nothing was kept here. Go on with it.",
}
"""Why a step wasn't taken, by the name of its refusal."""
LONGEST = 3600
"""Seconds to a first key that are still a time of thought."""

Show = Callable[[Request, str, int], Response]
"""Shows a sitting, with a sentence ahead of it, under a status."""


def under_way(request: Request) -> UnderWay:
    """The sittings of this program."""
    found: UnderWay = request.app.state.under_way
    return found


async def step(request: Request, which: Which, show: Show) -> Response:
    """Go on with what was left off, or take a step; what is shown after it, where the browser is sent."""
    form, now = form_of(request), under_way(request)
    action = form.get("action", "")
    here = f"{which}?{request.url.query}" if request.url.query else which
    if action == "go on":
        scope = now.left(which)
        if scope is not None and which == "review" and not now.is_made(Selection.of(scope)):
            return go_to("review?plan=1")
        if scope is not None:
            await now.begin(which, scope)
        return go_to(here)
    if action not in ("answer", *ACTIONS):
        raise RecallError(f"there is no step `{action}`", "open the page again and go on from there")
    text = form.get("text", "").replace("\r\n", "\n")
    if action == "answer" and (named := command(text)):
        action, text = named, words_behind(text)
    try:
        if action == "?":
            sitting = now.now(which)
            return show(request, help_with(sitting.view(), text) if sitting else "", 200)
        await now.step(which, form.get("token", ""), action, text, seconds_of(form))
    except StepError as refused:
        said = SAID.get(refused.name) or f"{refused.what[:1].upper()}{refused.what[1:]}."
        return show(request, said, 409)
    return go_to(here)


def seconds_of(form: Mapping[str, str]) -> float | None:
    """Seconds to the first key as the page measured them; None where it couldn't."""
    try:
        seconds = float(form.get("seconds", ""))
    except ValueError:
        return None
    return seconds if 0 <= seconds <= LONGEST else None


def whole(form: Mapping[str, str], name: str, low: int, high: int) -> int | None:
    """A whole number that was typed; None where nothing was. RecallError where it is out of range."""
    text = form.get(name, "").strip()
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and low <= int(text[:9]) <= high):
        raise RecallError(f"{name} can't be `{text[:20]}`", f"give a whole number from {low} to {high}")
    return int(text)
