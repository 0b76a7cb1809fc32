"""`recall page`: the page in the browser."""

import secrets
import socket
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import StoreOption, store_path, whole

PORT = 7325
"""Where the page is, unless told: one address that can be kept."""
Notes = Annotated[
    Path | None,
    typer.Argument(
        help="Notes to load first and to show as they are written; without it, all decks loaded before.",
        show_default=False,
    ),
]
Port = Annotated[
    int,
    typer.Option(
        "--port", metavar="PORT", parser=whole("ports", 0, 65535), help="Its port; 0 for any free one."
    ),
]


def page(path: Notes = None, port: Port = PORT, store: StoreOption = None) -> None:
    """Serve the page in the browser, on this computer.

    Example: recall page decks/skerry
    """
    import uvicorn

    from recall.cli.loading import load_path, open_store
    from recall.cli.screen import Screen
    from recall.web.app import application

    if path is not None:
        from recall.deck.source import find_sources

        find_sources(path)
    screen, clock, file = Screen.on(), SystemClock(), store_path(store)
    with open_store(file, clock) as opened:
        if opened.first_use():
            screen.caution()
        decks = load_path(opened, path, screen.line) if path is not None else []
    notes = path if path is not None and path.suffix.lower() != ".zip" else None
    app = application(file, clock, secrets.SystemRandom(), decks=decks, notes=notes)
    with _bound("127.0.0.1", port) as door:
        screen.line(
            f"The page is at http://127.0.0.1:{door.getsockname()[1]}/ on this computer. Ctrl-C ends it."
        )
        screen.console.file.flush()
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            http="h11",
            ws="none",
            lifespan="on",
        )
        uvicorn.Server(config).run(sockets=[door])


def _bound(address: str, port: int) -> socket.socket:
    """A socket at an address. RecallError where that is taken."""
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((address, port))
        door.listen(128)
    except OSError as error:
        door.close()
        raise RecallError(
            f"port {port} can't be used: {(error.strerror or str(error)).lower()}",
            "is the page served already? Otherwise name another: recall page --port 0",
        ) from None
    return door
