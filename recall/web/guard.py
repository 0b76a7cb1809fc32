"""Who is let in, and what each answer tells the browser to forbid.

A page of another site can make a browser call this computer. So the name under which it calls must be one of ours (a
name that was bound anew to this address is not), a change must come from a page of ours (`Origin`, RFC 6454 section
7; `Sec-Fetch-Site` where the browser says it), and carry the token that stands in our pages alone.
"""

import hmac
import logging
from ipaddress import ip_address
from typing import cast
from urllib.parse import parse_qsl

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from recall.base.errors import RecallError
from recall.web.pairing import COOKIE, Pairing
from recall.web.render import refusal
from recall.web.room import Room

_log = logging.getLogger(__name__)
MOST_BYTES = 64 * 1024
"""Of what a form sends: a typed answer and some words beside it."""
READING = ("GET", "HEAD")
TAKES, MOST_FILE = "/handover", 64 << 20
"""Where a file of another device is sent, and how large it may be; its token stands in a header."""
Refusal = tuple[str, str, int]
"""What happened, what to do, the status."""
FAILED: Refusal = (
    "the program failed at this page; what was answered before is kept",
    "Open it again. Where that doesn't help, `recall doctor` looks at the store.",
    500,
)
POLICY = "; ".join(
    (
        "default-src 'none'",
        *(f"{what}-src 'self'" for what in ("script", "style", "img", "connect", "manifest")),
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types 'none'",
    )
)
HEADERS: dict[str, str] = {
    "Content-Security-Policy": POLICY,
    "Cross-Origin-Embedder-Policy": "require-corp",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), display-capture=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Referrer-Policy": "same-origin",  # under `no-referrer` a form's Origin is `null` (Fetch standard)
    "X-Content-Type-Options": "nosniff",
    "X-DNS-Prefetch-Control": "off",
    "X-Frame-Options": "DENY",
    "X-Permitted-Cross-Domain-Policies": "none",
}
"""What the OWASP Secure Headers Project lists for every answer. Strict-Transport-Security isn't among them: it may
not be sent over plain HTTP (RFC 6797, 7.2)."""
HERE_ALONE = ("/devices", "/code", "/class", "/class-point")
FRAMED: dict[str, str] = {
    "Content-Security-Policy": POLICY.replace("frame-ancestors 'none'", "frame-ancestors 'self'"),
    "X-Frame-Options": "SAMEORIGIN",
}
"""Inside the browser the page stands in a frame of its own site."""
STRANGE: Refusal = (
    "this device isn't let in",
    "Scan the code that `recall page --lan` shows on the computer that it runs on.",
    403,
)


def is_here(request: Request) -> bool:
    """Whether the one who calls sits at this computer."""
    try:
        return request.client is not None and ip_address(request.client.host).is_loopback
    except ValueError:
        return False


class Guard:
    """Stands before every page. hosts: names under which this program may be called, without their port; pairing: the
    door for other devices than this computer; framed: see FRAMED."""

    def __init__(
        self, app: ASGIApp, room: Room, hosts: frozenset[str], pairing: Pairing, *, framed: bool = False
    ) -> None:
        self.headers = HEADERS | FRAMED if framed else HEADERS
        self.app = app
        self.room = room
        self.hosts = hosts
        self.pairing = pairing

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in or refuse it; headers either way."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        begun = False

        async def with_headers(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                headers = MutableHeaders(scope=message)
                for name, value in (self.headers | {"Cache-Control": "no-store"}).items():
                    headers.setdefault(name, value)
            await send(message)

        request = Request(scope, receive)
        try:
            answer = await self._refused(request)
            if answer is None:
                await self.app(scope, receive, with_headers)
                return
        except RecallError as error:
            answer = (error.what, error.help, 409)
        except Exception:
            if begun:
                raise
            _log.exception("a page failed: %s", request.url.path)
            answer = FAILED
        await refusal(request, *answer)(scope, receive, with_headers)

    async def _refused(self, request: Request) -> Refusal | None:
        here = is_here(request)
        door = not here and request.url.path == "/pair" and bool(self.pairing.lan)
        request.scope["bare"] = True
        if (answer := self._not_ours(request.headers)) is not None:
            return answer
        if not (here or door or self._paired(request)):
            return STRANGE
        if not here and request.url.path in HERE_ALONE:
            return "that is shown on the computer alone that serves the page", "Open it there.", 403
        request.scope["bare"] = door
        return None if request.method in READING else await self._no_change(request, door=door)

    def _paired(self, request: Request) -> bool:
        secret = request.cookies.get(COOKIE, "")
        return bool(self.pairing.lan and secret) and self.pairing.knows(secret)

    def _not_ours(self, headers: Headers) -> Refusal | None:
        """Why a request isn't for this program, by the name that it calls."""
        host = headers.get("host", "")
        name = host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host
        if name in self.hosts:
            return None
        return "this address isn't served", "Open the one that `recall page` says.", 421

    async def _no_change(self, request: Request, *, door: bool) -> Refusal | None:
        """Why a change isn't taken; its form stays with the request otherwise. door: it is the pairing of a device,
        whose code stands for the token."""
        headers = request.headers
        origin, ours = headers.get("origin", ""), f"{request.url.scheme}://{headers.get('host', '')}"
        if origin != ours or headers.get("sec-fetch-site", "same-origin") != "same-origin":
            return "a change must come from a page of this program", "Open Today and go on from there.", 403
        taking = request.url.path == TAKES
        most = MOST_FILE if taking else MOST_BYTES
        body = bytearray()
        async for part in request.stream():
            body += part
            if len(body) > most:
                return "that is too long to be kept", f"At most {most // 1024} kB are taken at once.", 413
        if taking:
            request.scope["content"] = bytes(body)
            form = {"page": headers.get("x-page", "")}
        else:
            form = dict(parse_qsl(body.decode("utf-8", "replace"), keep_blank_values=True))
        if not door and not hmac.compare_digest(
            form.get("page", "").encode(), page_token(self.room).encode()
        ):
            return (
                "that page is of another store or an earlier one",
                "Open it again; nothing was kept twice.",
                403,
            )
        request.scope["form"] = form
        return None


def page_token(room: Room) -> str:
    """What every form of ours carries."""
    return room.secret("token")


def form_of(request: Request) -> dict[str, str]:
    """The fields of a change that was let in."""
    return cast(dict[str, str], request.scope["form"])
