"""`past-review-date`: the record's `review-by` date is over."""

from recall.base.finding import Finding, Place, finding
from recall.deck.material import Material
from recall.deck.source import file_shown


def check(material: Material) -> list[Finding]:
    """Only where today is told."""
    due = material.record.review_by
    if due is None or material.today is None or material.today <= due:
        return []
    place = Place(file_shown(material.source.files[0]), material.record.line)
    message = f"the deck was to be looked over by {due.isoformat()}"
    help = "look it over against the manual, then set a new `review-by`"
    return [finding("past-review-date", place, message, help)]
