"""Topics: how well each is known, the points missed most, and answers given for one another."""

from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from recall.base.text import percent
from recall.insight.known import tomorrow_morning, topics_of
from recall.insight.missed import confused, missed_points
from recall.insight.told import TopicRow, little_told, moment_told, topic_rows
from recall.web.chart import strip
from recall.web.render import page, room_of

MOST_MISSED, MOST_CONFUSED = 10, 6


def _strip(row: TopicRow) -> Markup:
    """The interval of what was right."""
    one = row.record
    return strip(one.low, one.high, one.accuracy or 0.0, f"right {percent(one.low)} to {percent(one.high)}")


async def topics(request: Request) -> Response:
    """The page. all: every topic, not the weakest twenty."""
    store = room_of(request).store
    found = topics_of(store)
    asked = sum(bool(one.answers) for one in found)
    most = asked if "all" in request.query_params else 20
    rows = list(topic_rows(found, most))
    return page(
        request,
        "topics.html",
        "Topics",
        rows=[(row, _strip(row) if row.known else "") for row in rows],
        moment=moment_told(tomorrow_morning(store)),
        little=list(little_told(found)),
        more=max(0, asked - most),
        missed=missed_points(store, MOST_MISSED),
        confused=confused(store, MOST_CONFUSED),
    )


routes = [Route("/topics", topics)]
