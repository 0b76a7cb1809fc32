"""Wrong answers to choose among: of the same kind and aspect, like the right one, and never right as well."""

from collections import defaultdict
from collections.abc import Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.text import key_form, words_of
from recall.kinds.model import Card

WANTED = 3
FEWEST = 2
LONGEST = 25
"""Words of an answer that can be chosen at a glance."""
_LOOKED_AT = 60
_NEVER_CHOSEN = frozenset(("next", "order", "skipped", "reason", "lost", "kept", "feeds", "fed-by"))
"""Aspects whose wrong answers can't be told from right ones by the notes alone: what feeds a load through another,
what else may follow a step."""
_UNIT = re.compile(r"\d[\d.,]*\s*([^\W\d]+|[%°]\s*[A-Za-z]?)")


@dataclass(slots=True)
class Choices:
    """Looks wrong answers up among the cards of a deck."""

    cards: Sequence[Card]
    _alike: dict[tuple[str, str], list[Card]] = field(default_factory=lambda: defaultdict(list))
    _said: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    _subjects: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    _meanings: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        """Sort the cards by what they ask, and note all that each point says."""
        for card in self.cards:
            self._alike[card.kind, card.aspect].append(card)
            self._said[card.point] |= {key_form(part) for part in (card.subject, *card.answer.texts)}
            self._subjects[card.point].add(key_form(card.subject))
            if (card.kind, card.aspect) == ("abbreviation", "meaning"):
                self._meanings[card.point] = card.answer.text

    def offers(self, card: Card) -> bool:
        """Whether the card has one short answer that can stand among others; answers to free questions have nothing
        in common."""
        return (
            card.answer.choice
            and card.kind != "question"
            and card.aspect not in _NEVER_CHOSEN
            and "\n" not in card.answer.text
            and len(card.answer.text.split()) <= LONGEST
        )

    def wrong(self, card: Card) -> list[str]:
        """Wrong answers, the most plausible first: of its topic, of its length. Fewer than asked for where the
        deck has no more."""
        near = sorted(
            (other for other in self._alike[card.kind, card.aspect] if self.offers(other)),
            key=lambda other: (
                other.topic != card.topic,
                other.topic[:1] != card.topic[:1],
                abs(len(other.answer.text) - len(card.answer.text)),
                other.id,
            ),
        )
        found: list[str] = []
        for other in near[:_LOOKED_AT]:
            text = other.answer.text
            if _sort(text) != _sort(card.answer.text) or self._told_by_letters(card, text):
                continue
            if not self._may_be_right(card, other) and all(
                _apart(text, one) for one in (*found, card.answer.text)
            ):
                found.append(text)
            if len(found) == WANTED:
                break
        return found

    def _told_by_letters(self, card: Card, wrong: str) -> bool:
        """Whether the letters of an abbreviation tell its right answer from a wrong one: HYD is nothing but
        hydraulic where the others begin with other letters."""
        if card.kind != "abbreviation" or card.aspect not in ("meaning", "abbreviation"):
            return False
        right = card.answer.text
        if card.aspect == "meaning":
            return _fit(card.subject, wrong) < _fit(card.subject, right)
        meaning = self._meanings.get(card.point, "")
        return _fit(wrong, meaning) < _fit(right, meaning)

    def _may_be_right(self, card: Card, other: Card) -> bool:
        """Whether another card's answer is right here too, or could be: the same subject under another condition,
        a point that shares an answer, words that would be marked right."""
        if other.point == card.point or self._subjects[other.point] & self._subjects[card.point]:
            return True
        if self._said[other.point] & self._said[card.point]:
            return True
        if not card.answer.typed:
            return False
        return card.answer.mark(other.answer.text).right is not False


def _fit(short: str, words: str) -> float:
    """Which share of an abbreviation's letters begin words of a meaning, in their order."""
    firsts = "".join(word[0] for word in words_of(words))
    at = found = 0
    for letter in short.casefold():
        if (place := firsts.find(letter, at)) >= 0:
            at, found = place + 1, found + 1
    return found / len(short)


def _sort(text: str) -> tuple[object, ...]:
    """What an answer is to the eye: with a number or none, the units behind its numbers, capitals alone or not."""
    return any(map(str.isdigit, text)), text.isupper(), frozenset(_UNIT.findall(text.casefold()))


def _apart(one: str, two: str) -> bool:
    """Whether neither text holds all the words of the other."""
    first, second = set(words_of(one)), set(words_of(two))
    return bool(first and second) and not first <= second and not second <= first
