"""What pages draw in: the style sheet, the modules and the mark of the program, read once from the package."""

import hashlib
from importlib.resources import files

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

TYPES = {"css": "text/css", "js": "text/javascript", "svg": "image/svg+xml"}


def routes() -> list[Route]:
    """Each file under its name, and under no other: nothing else of the disk can be asked for."""
    known = {}
    for file in (files("recall.web") / "static").iterdir():
        body, kind = file.read_bytes(), TYPES[file.name.rpartition(".")[2]]
        known[file.name] = (body, kind, f'"{hashlib.sha256(body).hexdigest()[:16]}"')

    async def one(request: Request) -> Response:
        name = request.url.path.rpartition("/")[2]
        body, kind, tag = known["mark.svg" if name == "favicon.ico" else name]
        headers = {"ETag": tag, "Cache-Control": "no-cache"}
        if request.headers.get("if-none-match") == tag:
            return Response(status_code=304, headers=headers)
        return Response(body, media_type=kind, headers=headers)

    paths = ["/favicon.ico", *(f"/static/{name}" for name in sorted(known))]
    return [Route(path, one, methods=["GET"]) for path in paths]
