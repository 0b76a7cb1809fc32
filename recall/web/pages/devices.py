"""Devices: the code that another one scans, those that are let in, and the door by which they come."""

import io
from typing import cast

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.web.guard import form_of
from recall.web.pairing import COOKIE, KEEPS, Pairing, TooManyError, devices, forget
from recall.web.render import bare, go_to, page, refusal, room_of


def pairing(request: Request) -> Pairing:
    """The door for other devices."""
    return cast(Pairing, request.app.state.pairing)


def drawn(text: str) -> bytes:
    """A text as a code to scan (ISO/IEC 18004), drawn in SVG, dark on white whatever the page's colours."""
    import segno

    out = io.BytesIO()
    segno.make(text, error="m", micro=False).save(out, kind="svg", scale=5, border=4, light="#fff")
    return out.getvalue()


async def shown(request: Request) -> Response:
    """The code and the devices; on this computer alone."""
    door, store = pairing(request), room_of(request).store
    now = store.clock.now()
    home = store.settings().home
    known = [
        (one.since.astimezone(home).strftime("%Y-%m-%d %H:%M"), one.until.astimezone(home).date().isoformat())
        for one in devices(store)
        if one.until > now
    ]
    address = door.address() if door.lan else ""
    return page(request, "devices.html", "Devices", known=known, address=address)


async def code(request: Request) -> Response:
    """The picture of the code."""
    if not pairing(request).lan:
        return refusal(request, "no other device is let in", "Start it with `recall page --lan`.", 404)
    return Response(drawn(pairing(request).address()), media_type="image/svg+xml")


async def change(request: Request) -> Response:
    """Forget them all."""
    if form_of(request).get("action") == "forget":
        forget(room_of(request).store)
    return go_to("devices")


async def ask(request: Request) -> Response:
    """What a device sees that followed the code: a press pairs it, so that a preview of the address doesn't."""
    return bare("pair.html", "Pair this device", code=request.query_params.get("code", "")[:64])


async def pair(request: Request) -> Response:
    """Let it in, known by a cookie (RFC 6265) from now on."""
    peer = request.client.host if request.client is not None else ""
    try:
        secret = pairing(request).pair(peer, form_of(request).get("code", ""))
    except RecallError as error:
        return refusal(request, error.what, error.help, 429 if isinstance(error, TooManyError) else 403)
    answer = go_to("today")
    answer.set_cookie(COOKIE, secret, max_age=int(KEEPS.total_seconds()), httponly=True, samesite="strict")
    return answer


routes = [
    Route("/devices", shown),
    Route("/code", code),
    Route("/devices", change, methods=["POST"]),
    Route("/pair", ask),
    Route("/pair", pair, methods=["POST"]),
]
