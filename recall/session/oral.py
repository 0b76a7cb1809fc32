"""The questions of a mock oral, and what came of it."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from recall.base.dataclass import asdict, dataclass
from recall.base.text import count, one_line, percent
from recall.checkride.oral import needed
from recall.session.model import Kept
from recall.session.order import Order, Waiting
from recall.session.view import Line, Role


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


def told(end: Mapping[str, Any]) -> Iterator[Line]:
    """A result in sentences, as far as they stand over its areas."""
    if not end["asked"]:
        unmarked = "; no answer was marked" if end["unmarked"] else ""
        yield Line("note", f"Nothing was {'brought to an end' if unmarked else 'asked'}{unmarked}.")
        return
    share = percent(end["right"] / end["asked"])
    verdict = "passed" if end["passed"] else f"not passed: {'; '.join(end['failed_by'])}"
    said = f"Mock oral: {end['right']} of {end['asked']} right ({share}), {verdict}."
    yield Line("right" if end["passed"] else "wrong", said)
    yield Line("note", f"Predicted {percent(end['predicted'])}.")
    if end["unmarked"]:
        one, more = "answer in prose was not marked and doesn't", "answers in prose were not marked and don't"
        yield Line("wrong", f"{count(end['unmarked'], one, more)} count.")
    if end["asked"] < sum(area["questions"] for area in end["areas"]):
        yield Line("note", "It wasn't sat to its end, so it isn't counted among mock orals.")


def told_missed(end: Mapping[str, Any]) -> Iterator[Line]:
    """What was missed, with what was said, what is right and where it stands."""
    if end["missed"]:
        yield Line("head", f"Missed: {len(end['missed'])}")
    for one in end["missed"]:
        role: Role = "warning" if one["critical"] else "wrong"
        yield Line(role, f"{'Critical: ' if one['critical'] else ''}{one_line(one['prompt'])}")
        if one["given"]:
            yield Line("typed", f"You said: {one_line(one['given'])}")
        yield Line("answer", "; ".join(map(one_line, one["answer"])))
        yield Line("place", (f"{one['cite']}; " if one["cite"] else "") + f"{one['file']} line {one['line']}")
