"""Pictures that are shown with an answer, from where its deck was loaded: a folder of notes, or a published file; and
those of notes that are being written."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.deck.pictures import picture_file, type_of
from recall.deck.source import find_sources
from recall.publish.pictures import Picture, pictures_here
from recall.web.render import refusal, room_of
from recall.web.room import Room

ALONE = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox"}
"""An SVG that is opened by itself is a page: it may be styled, and run and load nothing."""


async def picture(request: Request) -> Response:
    """One picture. card: an id, or file: a note of the deck that is written in; name: as the note names the file."""
    asked, room = request.query_params, room_of(request)
    try:
        if "card" in asked:
            there = pictures_here(room.store, room.store.card(asked["card"]))
            found = next((one for one in there if one.path == asked.get("name")), None)
        else:
            found = _written(room, asked.get("deck", ""), asked["file"], asked["name"])
        if found is not None:
            return Response(found.content, media_type=found.type, headers=ALONE)
    except (RecallError, OSError, ValueError, KeyError):
        pass
    return refusal(request, "there is no such picture", "See the note that names it.", 404)


def _written(room: Room, deck: str, note: str, name: str) -> Picture | None:
    """A picture that a note names which is being written."""
    sources = find_sources(room.notes) if room.notes is not None else []
    for source in sources:
        if source.place.name == deck:
            content = picture_file(source.root, note, name)
            return Picture("", name, content, type_of(name, content))
    return None


routes = [Route("/picture", picture)]
