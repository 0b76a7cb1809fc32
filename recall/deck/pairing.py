"""Cards and points of two revisions in pairs: what moved, and what may have been renamed."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence

from recall.base.dataclass import dataclass
from recall.base.text import key_form
from recall.kinds.model import Card

LIKENESS = 0.6
"""Subjects less alike than this aren't proposed as one."""
_WIDEST = 100_000
"""Pairs of subjects compared at most for one answer."""

Meaning = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Renamed:
    """Two points, by their ids, that may be one under a new subject. likeness: 0 to 1."""

    source: str
    target: str
    old_subject: str
    new_subject: str
    likeness: float


def sense(card: Card) -> Meaning:
    """What stays equal when a card moves."""
    subject = key_form(card.subject, keep_case=card.kind == "abbreviation")
    return (card.kind, card.aspect, subject, key_form(card.condition), card.answer_hash)


def alone(
    old: Iterable[tuple[str, Meaning]], new: Iterable[tuple[str, Meaning]]
) -> Iterator[tuple[str, str]]:
    """Of things with their meanings, those of which exactly one of a meaning went and exactly one came."""
    groups: dict[Meaning, tuple[list[str], list[str]]] = defaultdict(lambda: ([], []))
    for at, side in enumerate((old, new)):
        for name, meaning in side:
            groups[meaning][at].append(name)
    return ((went[0], came[0]) for went, came in groups.values() if len(went) == len(came) == 1)


def renamings(gone: Mapping[str, Sequence[Card]], come: Mapping[str, Sequence[Card]]) -> list[Renamed]:
    """Points that went while one of the same kind and with an answer of theirs came under a like subject, the most
    alike first; each point in one pair at most. gone, come: cards by point."""
    from difflib import SequenceMatcher

    went: dict[tuple[str, str, str], dict[str, str]] = {}
    for source, cards in gone.items():
        for card in cards:
            went.setdefault((card.kind, card.aspect, card.answer_hash), {})[source] = card.subject
    alike: dict[tuple[str, str], Renamed] = {}
    for target, cards in come.items():
        for card in cards:
            sources = went.get((card.kind, card.aspect, card.answer_hash), {})
            if len(sources) * len(come) > _WIDEST and len(sources) > len(cards) * 50:
                continue
            matcher = SequenceMatcher(None, "", card.subject.casefold())
            for source, subject in sources.items():
                # One of an equal name stands elsewhere, or under another condition: no new name.
                if (source, target) in alike or key_form(subject) == key_form(card.subject):
                    continue
                matcher.set_seq1(subject.casefold())
                ratios = (matcher.real_quick_ratio, matcher.quick_ratio, matcher.ratio)
                if all(ratio() >= LIKENESS for ratio in ratios):
                    likeness = round(matcher.ratio(), 2)
                    alike[source, target] = Renamed(source, target, subject, card.subject, likeness)
    ranked = sorted(alike.values(), key=lambda each: (-each.likeness, each.source, each.target))
    found: dict[str, Renamed] = {}
    taken: set[str] = set()
    for each in ranked:
        if each.source not in taken and each.target not in found:
            found[each.target] = each
            taken.add(each.source)
    return list(found.values())
