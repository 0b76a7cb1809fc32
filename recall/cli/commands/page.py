"""`recall page`: the page in the browser."""

import secrets
import socket
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.text import count
from recall.cli.class_screen import class_at
from recall.cli.options import StoreOption, option, place, store_path, whole

if TYPE_CHECKING:
    from recall.cli.screen import Screen

PORT = 7325
"""Where the page is, unless told: one address that can be kept."""


def page(
    path: Annotated[
        Path | None,
        place("Notes to load first and to show as they are written; without it, all decks loaded before."),
    ] = None,
    port: Annotated[
        int, option("--port PORT", "Its port; 0 for any free one.", whole("ports", 0, 65535))
    ] = PORT,
    lan: Annotated[
        bool, option("--lan", "Let other devices on this network in, each by a code that it scans.")
    ] = False,
    forget: Annotated[
        bool, option("--forget", "Let no device in that was paired; nothing is served.")
    ] = False,
    folder: Annotated[
        Path | None, option("--class FOLDER", "Also show what the class of this folder misses.")
    ] = None,
    key: Annotated[Path | None, option("--key FILE", "The class key, to open new hand-ins with.")] = None,
    store: StoreOption = None,
) -> None:
    """Serve the page in the browser, on this computer.

    Example: recall page decks/skerry
    """
    from recall.cli.screen import Screen

    screen, file = Screen.on(), store_path(store)
    if forget:
        _forget(file, screen)
        return
    if key is not None and folder is None:
        raise RecallError("a key opens the hand-ins of a class", "name its folder: --class FOLDER")
    import uvicorn

    from recall.web.app import application

    notes = path if path is not None and path.suffix.lower() != ".zip" else None
    group = None if folder is None else class_at(folder, key, notes)
    with _bound("0.0.0.0" if lan else "127.0.0.1", port) as door:
        decks, port = _loaded(file, path, screen), door.getsockname()[1]
        reach = f"{_own_address()}:{port}" if lan else ""
        app = application(
            file, SystemClock(), secrets.SystemRandom(), decks=decks, notes=notes, group=group, lan=reach
        )
        if reach:
            _show_code(app.state.pairing.address(), screen)
        screen.line(f"The page is at http://127.0.0.1:{port}/ on this computer. Ctrl-C ends it.")
        screen.out.flush()
        config = uvicorn.Config(
            app,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=False,
            limit_concurrency=200,
            http="h11",
            ws="none",
            lifespan="on",
            timeout_graceful_shutdown=1,  # pages that wait for news would hold it up
        )
        uvicorn.Server(config).run(sockets=[door])


def _loaded(file: Path, path: Path | None, screen: "Screen") -> list[str]:
    """The slugs of the decks at a path, loaded into a store; none where no path was named."""
    from recall.cli.loading import begin, open_store

    with open_store(file, SystemClock(), notes=path) as opened:
        return begin(opened, path, screen)


def _forget(file: Path, screen: "Screen") -> None:
    from recall.store import Store
    from recall.web.pairing import forget

    with Store.open(file, SystemClock(), create=False) as opened:
        screen.line(f"Forgotten: {count(forget(opened), 'paired device')}.")


def _show_code(address: str, screen: "Screen") -> None:
    """A code to scan, once and within ten minutes."""
    import segno

    from recall.cli.screen import CAUTIONARY

    screen.line(
        "Scan this with another device on the same network to let it in. It is good once, for ten minutes;"
    )
    screen.line("the next stands on the page under Settings, Devices.")
    if screen.out.isatty():
        segno.make(address, error="l", micro=False).terminal(compact=True, border=2)
    screen.line(address)
    screen.line("What such a device sends and shows goes over the network unencrypted.", CAUTIONARY)


def _own_address() -> str:
    """This computer's address on its network. RecallError where it is on none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # reserved for documentation (RFC 5737): nothing is sent
            return str(probe.getsockname()[0])
        except OSError:
            raise RecallError(
                "this computer is on no network", "join one, or leave out --lan to serve this computer"
            ) from None


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
