"""Every card of the demo decks takes its own answer for right, and none takes another card's."""

import random
import re
from collections import Counter, defaultdict
from collections.abc import Iterator

import pytest
from demo_decks import demo_cards, lore_of

from recall.answers import answer_from
from recall.answers.alike import same_word
from recall.kinds.marking import pose
from recall.kinds.model import Card


@pytest.fixture(scope="module")
def cards() -> list[Card]:
    """The cards of both demo decks."""
    return demo_cards()


@pytest.mark.parametrize("between", ["; ", ", "])
def test_a_card_takes_its_own_answer(cards: list[Card], between: str) -> None:
    """As it is shown, members of a set parted by commas or semicolons."""
    rng = random.Random(5)
    questions = [question for card in cards if (question := pose(card, rng)).answer.typed]
    refused = [q.prompt for q in questions if not q.mark(between.join(q.answer.texts)).right]

    assert [] == refused


def test_no_card_takes_the_answer_of_another(cards: list[Card]) -> None:
    """Each typed card against twelve others of its kind and aspect; another unit may round to it, a range may be its
    tolerance, and `STOW` is what is stowed."""
    rng = random.Random(7)
    groups: dict[tuple[str, str, str], list[Card]] = defaultdict(list)
    for card in cards:
        groups[card.deck, card.kind, card.aspect].append(card)
    taken = [
        (card.prompt, card.answer.texts, other.answer.texts)
        for group in groups.values()
        for card in group
        if card.answer.typed and not card.answer.drawn
        for question in [pose(card, rng)]
        for other in rng.sample(group, min(12, len(group)))
        if other.answer_hash != card.answer_hash
        and not same_word(*(each.answer.text.casefold() for each in (card, other)))
        and "±" not in card.answer.texts[0] + other.answer.texts[0]
        and (
            card.answer.amount is None
            or card.answer.texts[0].split()[-1] == other.answer.texts[0].split()[-1]
        )
        and question.mark(other.answer.text).right
    ]

    assert [] == taken


_PAIRS = (
    "on off|open closed|left right|up down|high low|above below|in out|front rear|before after|more less|forward aft|"
    "maximum minimum|arm disarm|locked unlocked|inner outer|upper lower|hot cold|start stop|ac dc|full empty|"
    "extended retracted|inboard outboard|shut open|increases decreases|first last|primary secondary|with without"
)
"""From memory."""
_OTHER = {
    one: two
    for pair in _PAIRS.split("|")
    for one, two in (pair.split(), reversed(pair.split()))
    if one != "shut"
} | {"shut": "open"}
_TURNED = {
    "maximum": "at least {}|minimum {}|{} is the minimum|not below {}|no less than {}|{} or more|{} minimum",
    "minimum": "at most {}|maximum {}|{} is the maximum|not above {}|no more than {}|{} or less|{} maximum",
}
_HEDGED = "about {}|nearly {}|{} approx|more than {}|less than {}|not {}|it is not {}|some {}|0{}1|-1 {}"


def _planted(text: str) -> Iterator[str]:
    """A text with one half of an opposite turned round, with another number, and denied."""
    for found in re.finditer(r"[a-z]+", text, re.I):
        if other := _OTHER.get(found.group().casefold()):
            yield text[: found.start()] + other + text[found.end() :]
    for found in re.finditer(r"\d+", text):
        yield f"{text[: found.start()]}{int(found.group()) + 1}{text[found.end() :]}"
    if not re.search(r"\b(?:no|not|never|un\w+)\b", text, re.I):
        yield from (f"not {text}", f"no {text}")


def test_no_card_takes_what_was_turned_round(cards: list[Card]) -> None:
    """Every half of an opposite, every number and a denial planted into each answer of both demo decks, and around
    each amount the other bound, an open one, a hedge, a denial; 2,500 of them drawn."""
    rng = random.Random(13)
    planted: list[tuple[Card, str]] = []
    for card in (pose(card, rng) for card in cards if card.answer.typed and not card.answer.drawn):
        texts = card.answer.texts
        if card.answer.amount is None and card.aspect != "abbreviation":
            planted += [
                (card, "; ".join((*texts[:at], turned, *texts[at + 1 :])))
                for at, text in enumerate(texts)
                for turned in _planted(text)
            ]
        elif re.fullmatch(r"[\d.,]+ ?\D*", texts[0]):
            around = f"{_HEDGED}|{_TURNED.get(card.aspect, 'not {}')}"
            planted += [(card, said.format(texts[0])) for said in around.split("|")]
    lore = {
        deck: lore_of([card for card in cards if card.deck == deck])
        for deck in ("skerry", "rules-and-weather")
    }
    some = rng.sample(planted, 2_500)
    taken = [(card.prompt, typed) for card, typed in some if card.mark(typed, lore[card.deck]).right]

    assert [] == taken


def test_no_reading_is_tossed_for(cards: list[Card]) -> None:
    """Whatever is said of each reading without a look at it, it is right of no more than four in ten."""
    rng = random.Random(11)
    drawn = [pose(card, rng).answer.texts[0] for card in cards if card.answer.drawn for _ in range(20)]
    starts = Counter(answer.split()[0] for answer in drawn)

    assert max(starts.values()) / len(drawn) < 0.4


def _typed(form: str, answer: tuple[str, ...], given: str) -> tuple[bool | None, str, tuple[str, ...], str]:
    verdict = answer_from(form, answer, {}).mark(given)
    return verdict.right, verdict.why, verdict.left_out, verdict.note


def test_a_memory_item_names_the_steps_left_out() -> None:
    """One of three steps is missing, and is named."""
    assert (False, "1 left out", ("Handle PULL",), "") == _typed(
        "exact", ("Lever OFF", "Handle PULL", "Bottle FIRE"), "lever off; bottle fire"
    )


def test_a_memory_item_in_another_order_is_said_to_be_so() -> None:
    """All there, the order wrong."""
    assert (
        "all there, in another order"
        == _typed("exact", ("Lever OFF", "Handle PULL"), "handle pull, lever off")[1]
    )


STEPS = "Flaps UP, speed 104", "Mixture CUT OFF", "Fuel and ignition OFF"


@pytest.mark.parametrize(
    ("given", "why", "left"),
    [
        (
            "flaps up, speed 104, mixture cut of, fuel and ignition off",
            "1 left out and 1 too many",
            ("Mixture CUT OFF",),
        ),
        (
            "fuel and ignition off; flaps up speed 104; mixture",
            "1 left out and 1 too many; the rest in another order",
            ("Mixture CUT OFF",),
        ),
        (
            "mixture cut off and flaps up, speed 104 and fuel and ignition off",
            "all there, in another order",
            (),
        ),
        ("nothing of it", "the words differ", ()),
    ],
)
def test_one_slip_costs_one_step(given: str, why: str, left: tuple[str, ...]) -> None:
    """Steps stand whole wherever they begin, with commas and `and` inside; what is wrong besides is said."""
    assert (why, left) == _typed("exact", STEPS, given)[1:3]


def test_a_forgiven_slip_is_shown() -> None:
    """Right, with the right spelling beside it."""
    assert (True, "spelt operating") == _typed(
        "words", ("maximum operating speed",), "maximum operatng speed"
    )[::3]
