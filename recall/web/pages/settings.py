"""Settings: what a person has set, each with what it means."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.dataclass import asdict
from recall.base.errors import RecallError
from recall.base.settings import SETTINGS, setting_value
from recall.store import Store
from recall.web.guard import form_of
from recall.web.render import go_to, page, room_of

TYPES = {"checkride_on": "date", "checkride_at": "time"}
CHOICES = {"wait_after": ("wrong", "all")}


async def settings(request: Request) -> Response:
    """All settings in one form."""
    kept = "kept" in request.query_params
    return _shown(request, {}, {}, "Kept." if kept else "", 200)


def _shown(
    request: Request, typed: dict[str, str], wrong: dict[str, str], notice: str, status: int
) -> Response:
    """The form. typed: what stands in it instead of what is set; wrong: what is said of fields."""
    known = _plain(room_of(request).store)
    fields = [
        {
            "name": name,
            "label": SETTINGS[name][0],
            "value": typed.get(name, value),
            "type": TYPES.get(name, "text"),
            "choices": CHOICES.get(name, ()),
            "wrong": wrong.get(name, ""),
        }
        for name, value in known.items()
    ]
    return page(request, "settings.html", "Settings", status, fields=fields, notice=notice)


def _plain(store: Store) -> dict[str, str]:
    """What is set, as one would type it."""
    known = asdict(store.settings())
    return {name: f"{one:g}" if isinstance(one, float) else str(one) for name, one in known.items()}


async def change(request: Request) -> Response:
    """Keep what was changed, all in one; where one can't be, nothing is kept, and each field says why."""
    store, form = room_of(request).store, form_of(request)
    before = _plain(store)
    changed = {name: form[name] for name in before if name in form and form[name] != before[name]}
    wrong = {}
    for name, text in changed.items():
        try:
            setting_value(name, text)
        except RecallError as error:
            wrong[name] = f"{error.what[:1].upper()}{error.what[1:]}: {error.help}."
    if wrong:
        return _shown(request, changed, wrong, "Nothing was kept: see below.", 409)
    with store.writing():
        for name, text in changed.items():
            store.set(name, text)
    return go_to("settings?kept=1")


routes = [Route("/settings", settings), Route("/settings", change, methods=["POST"])]
