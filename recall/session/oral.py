"""The questions of a mock oral, and what came of it."""

from collections.abc import Mapping, Sequence
from typing import Any

from recall.base.dataclass import asdict, dataclass
from recall.base.text import count
from recall.checkride.oral import needed
from recall.session.model import Kept
from recall.session.order import Order, Waiting


@dataclass(frozen=True, slots=True)
class Drawn:
    """Questions of one oral, as plain data. cards, area_of, predicted: id, index of the area and recall before the
    oral of each, in the order of the draw; topics: of the areas; said: its rules and where they come from, in
    sentences; open: cards that stand for all that is said of their subject, asked first."""

    cards: tuple[str, ...]
    area_of: tuple[int, ...]
    predicted: tuple[float, ...]
    topics: tuple[tuple[str, ...], ...]
    pass_mark: float
    each_area: bool
    said: tuple[str, ...] = ()
    open: tuple[str, ...] = ()

    def plain(self) -> dict[str, Any]:
        """As a note holds it."""
        return asdict(self)

    @classmethod
    def of(cls, plain: Mapping[str, Any]) -> "Drawn":
        """What `plain` wrote, out of JSON."""
        listed = {name: tuple(value) if isinstance(value, list) else value for name, value in plain.items()}
        return cls(**listed | {"topics": tuple(tuple(topic) for topic in plain["topics"])})

    def order(self) -> Order:
        """The questions one after another."""
        return Order([Waiting(card, card, ()) for card in self.cards], fixed=True)


def result(kept: Sequence[Kept], drawn: Drawn) -> dict[str, Any]:
    """What came of an oral, as plain data: answers `asked` and marked, `right` ones, those `needed` to reach the
    mark, share `predicted` before, the same by area, what was `missed` in the order asked, answers in prose left
    `unmarked` (they don't count), and why it isn't `passed` (`failed_by`, sentences; empty where it is)."""
    areas = []
    for at, topic in enumerate(drawn.topics):
        of = [number for number, area in enumerate(drawn.area_of) if area == at]
        marked = [one for one, area in zip(kept, drawn.area_of, strict=False) if area == at and one.mark]
        right, wanted = sum(one.right for one in marked), needed(drawn.pass_mark, len(of))
        if of:
            areas.append(
                {
                    "topic": list(topic),
                    "questions": len(of),
                    "asked": len(marked),
                    "right": right,
                    "needed": wanted,
                    "passed": right >= wanted,
                    "predicted": sum(drawn.predicted[number] for number in of) / len(of),
                }
            )
    marked = [one for one in kept if one.mark is not None]
    missed = [one for one in marked if not one.right]
    right, wanted = len(marked) - len(missed), needed(drawn.pass_mark, len(drawn.cards))
    low = sum(bool(area["asked"]) and not area["passed"] for area in areas)
    critical = sum(one.card.critical for one in missed)
    failed_by = [
        why
        for failed, why in (
            (
                len(marked) < len(drawn.cards),
                f"{len(drawn.cards) - len(marked)} of {len(drawn.cards)} questions have no marked answer",
            ),
            (right < wanted, f"{right} right, {wanted} needed"),
            (drawn.each_area and low, f"{count(low, 'area')} below the mark"),
            (critical, f"{count(critical, 'critical point')} missed"),
        )
        if failed
    ]
    return {
        "asked": len(marked),
        "right": right,
        "needed": wanted,
        "passed": not failed_by,
        "predicted": sum(drawn.predicted) / len(drawn.cards),
        "areas": areas,
        "missed": [
            {
                "id": one.card.id,
                "prompt": one.card.prompt,
                "given": one.given,
                "answer": list(one.card.answer.texts),
                "critical": one.card.critical,
                "cite": one.card.cite,
                "file": one.card.file,
                "line": one.card.line,
            }
            for one in missed
        ],
        "unmarked": len(kept) - len(marked),
        "failed_by": failed_by,
    }
