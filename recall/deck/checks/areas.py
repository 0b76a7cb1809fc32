"""`unknown-topic`: a topic of the checkride that no card has."""

from collections.abc import Iterator

from recall.base.finding import Finding, Place, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.deck.source import file_shown
from recall.deck.topics import in_topic


def check(material: Material) -> Iterator[Finding]:
    """Each, at the record."""
    plan = material.record.checkride
    topics = {asked.point.topic for asked in material.asked if asked.cards}
    place = Place(file_shown(material.source.files[0]), material.record.line)
    for area in plan.questions if plan else ():
        if not any(in_topic(topic, area) for topic in topics):
            what = f"the checkride asks `{shown(area)}`, and no card is under such a heading"
            yield finding("unknown-topic", place, what, "name a heading of the notes, as it stands there")
