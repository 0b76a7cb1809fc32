"""What a check of a whole deck is given, and what it is."""

from collections.abc import Callable, Iterable
from datetime import date

from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding
from recall.deck.combine import Asked
from recall.deck.model import Record, Source
from recall.kinds.kind import Kind
from recall.notes.model import Note


@dataclass(frozen=True, slots=True)
class Material:
    """What a check may look at. asked: every point with the cards it would make; a check that finds an error
    marks the point faulty. near: card → the cards that it invites confusion with, as `look-alike` finds them."""

    record: Record
    source: Source
    notes: tuple[Note, ...]
    asked: tuple[Asked, ...]
    today: date | None
    kinds: tuple[Kind, ...]
    near: dict[str, list[str]] = field(default_factory=dict)


Check = Callable[[Material], Iterable[Finding]]
