"""Today: days to the checkride, minutes left, what is critical and shaky."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.insight.known import recalls, records_of, shaky, tomorrow_morning, weak_lines
from recall.insight.weak import weak_topics
from recall.session.begin import cautions
from recall.session.effort import spent_on
from recall.session.target import target_of
from recall.store import Known, Store
from recall.web.render import page, room_of
from recall.web.room import Room, events_so_far
from recall.web.steps import under_way

SHAKY_SHOWN = 6


async def today(request: Request) -> Response:
    """The first page."""
    room = room_of(request)
    store, now = room.store, under_way(request)
    target, day = target_of(store.settings()), store.today()
    days = None if target is None or target.on < day else (target.on - day).days
    critical, weak = room.kept("today", events_so_far(store), lambda: _standing(store))
    sitting = now.now("review")
    on = sitting is not None and sitting.phase != "over"
    return page(
        request,
        "today.html",
        "Today",
        day=f"{day:%A} {day.day} {day:%B %Y}",
        days=days,
        target=target,
        ahead=store.due_by_day(1)[0],
        spent=spent_on(store, day) / 60,
        goes_on=on or now.left("review") is not None,
        decks=[(deck.slug, deck.record.get("title") or deck.slug, deck.revision) for deck in store.decks()],
        cautions=list(cautions(store)),
        shaky=[
            (known.point, store.card(known.id).prompt, recall if known.right else None)
            for known, recall in critical[:SHAKY_SHOWN]
        ],
        shaky_more=max(0, len(critical) - SHAKY_SHOWN),
        weak=weak,
    )


def _standing(store: Store) -> tuple[list[tuple[Known, float]], list[str]]:
    """Critical and shaky cards, and weak topics."""
    found = list(recalls(store, tomorrow_morning(store)))
    return shaky(found, store.settings().critical_target), weak_lines(weak_topics(records_of(found)))


def prepare(room: Room) -> None:
    """Have ready what the first look would wait for."""
    room.kept("today", events_so_far(room.store), lambda: _standing(room.store))


routes = [Route("/", today), Route("/today", today)]
