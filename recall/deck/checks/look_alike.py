"""`look-alike`: abbreviations a letter apart, and one number under near subjects: they are asked near each other."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from recall.base.finding import Finding, finding
from recall.base.text import words_of
from recall.deck.material import Asked, Material
from recall.kinds.model import named, where
from recall.kinds.prose.lexicon import SIDES

_SHORTEST, _LONGEST = 3, 40
_MOST_NEAR = 6
"""How many look-alikes of a point are kept: in a crowd of them, each is held against those right before it."""
_CROWD = 12
"""Where more limits than that share a number and all but a word, none is mistaken for another in particular."""

Pair = tuple[Asked, Asked]


def check(material: Material) -> Iterator[Finding]:
    """One finding a point, which names the first that it looks like; cards learn whom to be asked near."""
    told: set[int] = set()
    for earlier, later, why in pairs(material.asked):
        _bring_near(earlier, later, material.near)
        if id(later) not in told:
            told.add(id(later))
            what = f"{named(later.point)} looks like {named(earlier.point)} in {where(earlier.point)}: {why}"
            help = "nothing must be done: the two are asked near each other"
            yield finding("look-alike", later.point.place, what, help)


def _bring_near(earlier: Asked, later: Asked, near: dict[str, list[str]]) -> None:
    """Card → the cards that ask the same side of its look-alikes, at most six."""
    for one in earlier.cards:
        for two in later.cards:
            if one.aspect == two.aspect and type(one.answer) is type(two.answer):
                for card, other in ((one.id, two.id), (two.id, one.id)):
                    others = near.setdefault(card, [])
                    if len(others) < _MOST_NEAR and other not in others:
                        others.append(other)


def pairs(asked: Sequence[Asked]) -> Iterator[tuple[Asked, Asked, str]]:
    """Points that invite confusion, in pairs, the earlier one first, and why."""
    order = {id(one): at for at, one in enumerate(asked)}
    whole = [one for one in asked if not one.point.faulty]
    for why, found in (("a letter apart", _letters(whole)), ("the same number", _numbers(whole))):
        told: set[tuple[int, int]] = set()
        for pair in found:
            first, second = sorted(pair, key=lambda one: order[id(one)])
            if first is not second and (id(first), id(second)) not in told:
                told.add((id(first), id(second)))
                yield first, second, why


def _letters(asked: Iterable[Asked]) -> Iterator[Pair]:
    """Abbreviations of one length that differ in a letter, in the order of two, or in case alone."""
    buckets: dict[tuple[str, int, str], list[tuple[str, Asked]]] = defaultdict(list)
    for one in asked:
        term = one.point.subject
        if one.point.kind != "abbreviation" or not _SHORTEST <= len(term) <= _LONGEST or not term.isalnum():
            continue
        folded = term.casefold()
        for at, sign in enumerate(folded):
            if sign.isalpha():
                buckets["letter", at, folded[:at] + folded[at + 1 :]].append((term, one))
            if at and folded[at - 1 : at + 1].isalpha():
                swapped = "".join(sorted(folded[at - 1 : at + 1]))
                buckets["swap", at, folded[: at - 1] + swapped + folded[at + 1 :]].append((term, one))
    for bucket in buckets.values():
        yield from _beside(bucket)


def _numbers(asked: Iterable[Asked]) -> Iterator[Pair]:
    """Limits of one number, whose subjects differ in a word or lack one; a side or a count (`left`, `2`) tells them
    apart well enough."""
    equal: dict[tuple[str, str], list[Asked]] = defaultdict(list)
    for one in asked:
        if one.point.kind == "limit":
            for card in one.cards:
                if card.answer.amount and card.aspect != "duration":
                    equal[card.aspect, card.answer_hash].append(one)
    names: dict[int, list[tuple[str, ...]]] = {}
    for group in equal.values():
        if len(group) < 2:
            continue
        buckets: dict[tuple[str, ...], list[tuple[str, Asked]]] = defaultdict(list)
        for one in group:
            near = names.get(id(one))
            if near is None:
                near = names[id(one)] = _near_names(one.point.subject)
            entry = (" ".join(near[0]), one)
            for name in near if len(near) > 2 else ():
                buckets[name].append(entry)
        for bucket in buckets.values():
            if len(bucket) <= _CROWD and len({name for name, _ in bucket}) > 1:
                yield from _beside(bucket)


def _near_names(subject: str) -> list[tuple[str, ...]]:
    """The words of a subject but sides and counts, and all but one of them."""
    words = tuple(word for word in words_of(subject) if word not in SIDES and not word.isdigit())
    return [words, *(words[:at] + words[at + 1 :] for at in range(len(words)))]


def _beside(bucket: Sequence[tuple[str, Asked]]) -> Iterator[Pair]:
    """Each of a bucket with the few right before it whose name is another, so that a crowd stays linear."""
    for at, (name, one) in enumerate(bucket):
        for other, two in bucket[max(0, at - 3) : at]:
            if other != name:
                yield two, one
