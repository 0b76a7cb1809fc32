"""Pictures that notes name: of a deck's own folder, and of nothing else."""

from pathlib import Path

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.store.places import places_of
from recall.web.render import refusal, room_of

TYPES = {
    ".png": "image/png",
    ".jpg": "image/jpeg",
    ".jpeg": "image/jpeg",
    ".gif": "image/gif",
    ".webp": "image/webp",
    ".svg": "image/svg+xml",
}
ALONE = {"Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; sandbox"}
"""An SVG that is opened by itself is a page: it may be styled, and run and load nothing."""
MOST_BYTES = 20 * 1024 * 1024


def picture_file(root: Path, note: str, name: str) -> Path | None:
    """The file that a note of a deck names as a picture; None where it isn't one, or lies outside the deck's folder,
    by a link too."""
    folder = root if root.is_dir() else root.parent
    file = ((folder / note if root.is_dir() else root).parent / name).resolve()
    inside = file.is_relative_to(folder.resolve())
    return file if inside and file.suffix.lower() in TYPES and file.is_file() else None


async def picture(request: Request) -> Response:
    """One picture. card: an id; name: as the card's note names the file."""
    store = room_of(request).store
    try:
        card = store.card(request.query_params.get("card", ""))
        name = request.query_params.get("name", "")
        files = [picture_file(Path(place), card.file, name) for place in places_of(store, card.deck)]
        file = next(filter(None, files), None)
        if file is not None and file.stat().st_size <= MOST_BYTES:
            return Response(file.read_bytes(), media_type=TYPES[file.suffix.lower()], headers=ALONE)
    except (RecallError, OSError, ValueError):
        pass
    return refusal(request, "there is no such picture", "See the note that names it.", 404)


routes = [Route("/picture", picture)]
