"""One fact, one card; one question, one answer: what only the cards of a whole deck can tell of each other."""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence

from recall.base.dataclass import replace
from recall.base.finding import Finding, finding
from recall.base.text import key_form, shown, word_set, words_of
from recall.deck.material import Asked, Material
from recall.kinds.aspect import Part
from recall.kinds.each.interlock import INHIBITS
from recall.kinds.effectivity import overlap
from recall.kinds.english import lower, upper
from recall.kinds.model import Card, make_card, named, where
from recall.kinds.prose.lexicon import NEGATING

_MOST_MEMBERS = 9
_MOST_ALIKE = 200
"""Actions in the same words that are held against one another."""
_ASIDE = word_set("""
    a above all an and any are as at below beyond by exceeded exceeds fails falls for from has in is its of on or
    outside over rises than that the then this to under with
""")
_ANY_WORDS = (("abbreviation", "meaning"), ("interlock", "inhibited-by"), ("interlock", "requires"))
"""Aspects that ask one thing of a subject in whichever sentence."""
_ACTIONS = ("action", "below", "above")
_FIRST = ("indication", "limit", "consequence")
"""Of two kinds that ask for one action, the one that goes before asks it."""


def ask_once(material: Material) -> Iterator[Finding]:
    """Take back cards that ask what another one asks, ask for all that one condition inhibits, and make equal
    questions unlike."""
    yield from _without_twins(material.live)
    yield from _unlike(material.live)
    _inhibited(material)


def _without_twins(asked: Sequence[Asked]) -> Iterable[Finding]:
    """A failure whose caption has a row of its own isn't asked from the caption; one action of one thing is asked
    once, and told."""
    captions = {key_form(one.point.subject): one for one in asked if one.point.kind == "indication"}
    causes: dict[str, list[Asked]] = defaultdict(list)
    actions: dict[frozenset[str], list[Asked]] = defaultdict(list)
    for one in asked:
        if one.point.kind in _FIRST:
            for card in one.cards:
                if card.aspect == "cause":
                    causes[key_form(card.prompt)].append(one)
                elif card.aspect in _ACTIONS and card.condition == one.point.condition:
                    actions[_words(card.answer.text)].append(one)
    for group in causes.values():
        signs = key_form(" ".join(group[0].point.fields.get("indication", ())))
        if len(group) > 1 or signs in captions:
            for one in group:
                one.cards = [card for card in one.cards if card.aspect != "cause"]
    for said, group in actions.items():
        if not 1 < len(group) <= _MOST_ALIKE:
            continue
        group.sort(key=lambda one: _FIRST.index(one.point.kind))
        kept: list[Asked] = []
        for one in group:
            twin = next((other for other in kept if _alike(one, other)), None)
            if twin is None or len(one.cards) == 1:
                kept.append(one)
                continue
            one.cards = [
                card for card in one.cards if card.aspect not in _ACTIONS or _words(card.answer.text) != said
            ]
            message = f"what to do about {named(one.point)} is asked with {named(twin.point)} in {where(twin.point)}"
            help = "nothing must be done: one fact is asked once"
            yield finding("asked-once", one.point.place, message, help)


def _words(text: str) -> frozenset[str]:
    return frozenset(words_of(text)) - _ASIDE


def _alike(one: Asked, two: Asked) -> bool:
    """Whether two points are about one thing: a failure and its caption, or a limit and what goes beyond it."""
    first, second = one.point, two.point
    if first.kind == second.kind or not overlap(first.fits, second.fits):
        return False
    if second.kind == "indication" and first.fields.get("indication"):
        return key_form(first.fields["indication"][0]) == key_form(second.subject)
    mine, other = (
        {word for word in _words(point.subject) if not any(map(str.isdigit, word))}
        for point in (first, second)
    )
    return len(mine) > 1 and len(other) > 1 and (mine <= other or other <= mine)


def _unlike(asked: Sequence[Asked]) -> Iterable[Finding]:
    """Questions of the same words with two answers name their topic, an interlock's all but one that has none of its
    own; where that is the same too, they are told."""
    groups: dict[str | tuple[str, ...], list[tuple[Asked, int]]] = defaultdict(list)
    for one in asked:
        for at, card in enumerate(one.cards):
            if not card.answer.drawn:
                name = card.subject if card.kind == "abbreviation" else key_form(card.subject)
                own = (name, key_form(card.condition), card.aspect)
                groups[own if (card.kind, card.aspect) in _ANY_WORDS else card.prompt].append((one, at))
    for group in groups.values():
        first = group[0][0].cards[group[0][1]]
        if len(group) < 2 or len({one.cards[at].answer_hash for one, at in group}) == 1:
            continue
        topics = [_telling(one.cards[at].topic, [o.cards[i].topic for o, i in group]) for one, at in group]
        if len(set(topics)) == len(topics) and (all(topics) or first.kind == "interlock"):
            for (one, at), topic in zip(group, topics, strict=True):
                one.cards[at] = _within(one.cards[at], topic) if topic else one.cards[at]
            continue
        later = group[-1][0]
        if overlap(group[0][0].point.fits, later.point.fits):
            message = f"`{shown(first.prompt)}` has another answer in {where(group[0][0].point)}"
            help = "name the two apart: say in each row what it is of, or under which condition"
            yield finding("same-question", later.point.place, message, help)


def _telling(topic: Sequence[str], others: Sequence[Sequence[str]]) -> str:
    """The nearest heading by which a topic differs from all others of its group that aren't equal to it."""
    for heading in reversed(topic):
        if sum(heading in other for other in others) == 1:
            return heading
    return ""


def _within(card: Card, topic: str) -> Card:
    """A card that names its topic: in front where that makes no second colon."""
    end = card.prompt[-1:] if card.prompt.endswith(("?", ".")) else ""
    asked = f"{card.prompt.removesuffix(end)} ({topic}){end}"
    return replace(card, prompt=asked if ": " in card.prompt else f"{topic}: {lower(card.prompt)}")


def _inhibited(material: Material) -> None:
    """Where one condition inhibits several functions, which they are: one card, with the first of them. A rule whose
    subject is half a sentence (`The starter must not be run`) names none."""
    by: dict[str, list[tuple[str, Asked]]] = defaultdict(list)
    for one in material.live:
        if (
            one.point.kind == "interlock"
            and not one.point.condition
            and NEGATING.isdisjoint(words_of(one.point.subject))
        ):
            for condition in one.point.fields.get("inhibited", ()):
                by[key_form(condition)].append((condition, one))
    for found in by.values():
        owners = [one for _, one in found]
        functions = tuple(dict.fromkeys(one.point.subject for one in owners))
        if not 1 < len(functions) <= _MOST_MEMBERS or len({one.point.applies for one in owners}) > 1:
            continue
        condition, first = found[0]
        source = material.source_of(dict.fromkeys(one.point.source for one in owners))
        of = replace(first.point, source=source, why="", extra=())
        draft = INHIBITS.part(Part(condition, of, {"condition": upper(condition)}), {}, functions)
        first.cards.append(make_card(of, draft, material.record.deck))
