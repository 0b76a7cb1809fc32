"""What an export was asked for: which notes, which part of them, in which form."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from recall.base.dataclass import dataclass, field, replace
from recall.base.errors import RecallError

if TYPE_CHECKING:
    from recall.deck.model import Deck
    from recall.kinds.model import Card, Point

    Named = TypeVar("Named", Point, Card)


@dataclass(frozen=True, slots=True)
class Wish:
    """What was asked for: the arguments of the command."""

    what: str
    path: Path | None
    format: str
    out: Path | None
    paper: str
    edge: str
    of: str
    topic: str
    kind: str
    critical: bool
    aircraft: str
    days: int
    on: date | None
    name: str
    slug: str
    to: str
    with_answers: bool
    withdraw: bool
    runtime: Path | None
    runtime_at: str
    store: Path | None
    read: "list[Deck]" = field(default_factory=list)
    """Decks that were read for it."""

    def given(self) -> list[str]:
        """What was said beside what is exported and where to, as it is typed."""
        usual = {"paper": "a4", "edge": "long", "of": "cards", "days": 28}
        names = {"path": "PATH", "slug": "--deck", "to": "--for"}
        own = [name for name in self.__slots__ if name not in ("what", "out", "store", "read")]
        said = [name for name in own if getattr(self, name) not in (usual.get(name), "", False, None)]
        return [names.get(name, f"--{name.replace('_', '-')}") for name in said]

    def form(self, *known: str) -> str:
        """The format, as the file is named or the first where none was asked for."""
        if self.format and self.format not in known:
            raise RecallError(f"there is no format `{self.format}` here", f"formats are: {', '.join(known)}")
        named = self.out.suffix.lower().lstrip(".") if self.out else ""
        return self.format or (named if named in known else known[0])

    def decks(self) -> "list[Deck]":
        """The decks at the path."""
        from recall.publish.opening import decks_at

        if self.path is None:
            raise RecallError("no notes were named", "name a folder of notes, or one note")
        self.read[:] = decks_at(str(self.path))
        return self.read

    def deck(self) -> "Deck":
        """The one deck at the path."""
        decks = self.decks()
        if len(decks) > 1:
            raise RecallError(f"`{self.path}` holds {len(decks)} decks", "name the folder of one of them")
        return decks[0]

    @property
    def only(self) -> str:
        """In words, of which part an export was made; empty for all."""
        said = (
            "critical points" * self.critical,
            self.kind and f"kind {self.kind.replace('-', ' ')}",
            self.topic and f"topic {self.topic}",
            self.aircraft and f"aircraft {self.aircraft}",
        )
        return ", ".join(filter(None, said))

    def part(self, deck: "Deck") -> "Deck":
        """The deck with those of its points that were asked for."""
        if not self.only:
            return deck
        named = [
            (point, point.critical or any(part.critical for part in point.parts)) for point in deck.points
        ]
        return replace(deck, points=tuple(self._wanted(deck, named, "point")))

    def cards(self, deck: "Deck") -> "Sequence[Card]":
        """The deck's cards that were asked for."""
        return self._wanted(deck, [(card, card.critical) for card in deck.cards], "card")

    def _wanted(self, deck: "Deck", named: "Sequence[tuple[Named, bool]]", what: str) -> "list[Named]":
        """Points or cards, each with whether it is critical, that are as asked for."""
        from recall.base.text import shown
        from recall.deck.topics import in_topic, topic_named
        from recall.kinds.effectivity import applies_to, names, spelled

        topic = topic_named([one.topic for one, _ in named], self.topic) if self.topic else ""
        own: dict[str, str] = dict(deck.record.aircraft)
        flown = spelled(self.aircraft, own)
        meant = {deck.record.applies_to, *own, *(spelled(one.applies, own) for one, _ in named)} - {""}
        if self.aircraft and meant and not any(names(said, flown) for said in meant):
            raise RecallError(
                f"{deck.record.deck} is of no aircraft `{self.aircraft}`",
                f"it names {shown('; '.join(sorted(meant)))}",
            )
        found = [
            one
            for one, critical in named
            if (not topic or in_topic(one.topic, topic))
            and self.kind in ("", one.kind)
            and (critical or not self.critical)
            and applies_to(spelled(one.applies, own), flown)
        ]
        if not found:
            raise RecallError(f"no {what} is as asked for", "`recall cards PATH` shows topics and kinds")
        return found
