"""Hand over: what was answered here goes to another device as a file of events, and theirs comes in, in any order and
any number of times."""

import tempfile
from pathlib import Path

from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.base.text import count, shown
from recall.store.handed import handed_over, only_here, own_answers
from recall.web.guard import form_of
from recall.web.render import go_to, page, room_of
from recall.web.steps import whole

_ARCHIVE = b"PK"
"""How a published file begins."""


async def shown_page(request: Request) -> Response:
    """What is on this device alone, a file to save, and a place for theirs."""
    store = room_of(request).store
    answers, since = only_here(store)
    decks = [(deck.slug, deck.record.get("title") or deck.slug) for deck in store.decks()]
    lasting = request.app.state.lasting
    return page(
        request, "handover.html", "Hand over", answers=answers, since=since, lasting=lasting, decks=decks
    )


async def events(request: Request) -> Response:
    """All events, as `recall events` writes them. later: the page itself tells when they were saved or shared."""
    store = room_of(request).store
    lines = "".join(f"{line}\n" for line in store.events_json())
    answers = own_answers(store)
    if "later" not in request.query_params:
        handed_over(store, answers)
    name = f"recall-{store.today().isoformat()}.jsonl"
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "X-Answers": str(answers)}
    return Response(lines, media_type="application/x-ndjson", headers=headers)


async def handed(request: Request) -> Response:
    """So many answers were saved or shared."""
    store = room_of(request).store
    answers = whole(form_of(request), "answers", 0, own_answers(store))
    handed_over(store, answers or 0)
    return go_to("handover")


async def take(request: Request) -> Response:
    """Take in a file of another device: what came of it in a sentence, or why it isn't taken."""
    try:
        return PlainTextResponse(shown(_taken(request)))
    except RecallError as error:
        return PlainTextResponse(shown(error.sentences), 409)


def _taken(request: Request) -> str:
    """Take in events, a store or a published revision."""
    store, content = room_of(request).store, request.scope["content"]
    same = request.query_params.get("same") == "yes"
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / Path(request.query_params.get("name", "file")[-80:] or "file").name
        if content.startswith(_ARCHIVE):
            from recall.publish.receive import receive

            file = file.with_suffix(".zip")
            file.write_bytes(content)
            loaded, _ = receive(store, file)
            return (
                f"Loaded {loaded.deck} revision {loaded.revision}: {count(loaded.points, 'point')}"
                f" ({loaded.new} new, {loaded.changed} changed)."
            )
        file.write_bytes(content)
        try:
            (found,) = store.merge([file], same_person=same)
        except RecallError as error:
            raise RecallError(error.what.replace(f"{folder}/", ""), error.help) from error
    return f"{count(found.events, 'new event')}, {found.reviews} of them answers."


routes = [
    Route("/handover", shown_page),
    Route("/handover", take, methods=["POST"]),
    Route("/events", events),
    Route("/handed", handed, methods=["POST"]),
]
