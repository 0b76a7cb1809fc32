"""Hand in: the answers to one deck, sealed for a class; what goes out is told before it does."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.errors import RecallError
from recall.base.text import count
from recall.web.guard import form_of
from recall.web.render import page, room_of

ASKED = "tick it to hand it in", "type it to hand it in"


async def change(request: Request) -> Response:
    """What would go out; with `made`, the file itself."""
    from recall.cohort.handin import MOST, seal
    from recall.cohort.mine import gather, told
    from recall.cohort.sealed import check

    form, store = form_of(request), room_of(request).store
    to = "".join(form.get("to", "").split()).lower()
    check(to)
    made, seed = gather(
        store,
        form.get("deck", ""),
        to,
        answers="answers" in form,
        name=form.get("name", "").strip(),
        withdraw="withdraw" in form,
    )
    if "made" not in form:
        lines = told(made, ASKED)
        return page(request, "hand_in.html", "Hand in", lines=lines, form=form | {"to": to})
    content = seal(made, seed)
    if len(content) > MOST:
        raise RecallError(
            f"{count(made.count, 'answer')} are more than a class takes", "hand in without typed words"
        )
    name = f"{made.deck}-{store.today().isoformat()}.handin"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/octet-stream", headers=headers)


routes = [Route("/hand-in", change, methods=["POST"])]
