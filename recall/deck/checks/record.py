"""What the record says, against the notes: its date, the variants it declares, the topics of the checkride."""

from collections.abc import Iterator

from recall.base.finding import Finding, Place, finding
from recall.base.text import shown
from recall.deck.material import Material
from recall.deck.source import file_shown
from recall.kinds.effectivity import undeclared


def _place(material: Material) -> Place:
    return Place(file_shown(material.source.files[0]), material.record.line)


def review_date(material: Material) -> Iterator[Finding]:
    """`past-review-date`: only where today is told."""
    due = material.record.review_by
    if due is not None and material.today is not None and material.today > due:
        message = f"the deck was to be looked over by {due.isoformat()}"
        help = "look it over against the manual, then set a new `review-by`"
        yield finding("past-review-date", _place(material), message, help)


def areas(material: Material) -> Iterator[Finding]:
    """`unknown-topic`: a topic of the checkride that no card has."""
    plan = material.record.checkride
    if plan is None:
        return
    from recall.deck.topics import in_topic

    topics = {asked.point.topic for asked in material.asked if asked.cards}
    for area in plan.questions:
        if not any(in_topic(topic, area) for topic in topics):
            what = f"the checkride asks `{shown(area)}`, and no card is under such a heading"
            help = "name a heading of the notes, as it stands there"
            yield finding("unknown-topic", _place(material), what, help)


def variants(material: Material) -> Iterator[Finding]:
    """`unknown-variant`: each that the record doesn't declare, at the first point that it is said of; nothing where
    the record declares no aircraft."""
    declared = material.record.aircraft
    told: set[str] = set()
    help = f"name one of {', '.join(map(shown, declared))}, or add it to the record under `aircraft`"
    for point in (asked.point for asked in material.asked if declared):
        for name in undeclared(point.applies, declared):
            if name not in told:
                told.add(name)
                what = f"`Applies to` names `{shown(name)}`, which the record doesn't declare"
                yield finding("unknown-variant", point.place, what, help)
