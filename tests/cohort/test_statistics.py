"""Figures of a class against outside values: intervals, the item model, and what was planted."""

import numpy as np
import pyarrow as pa
import pytest
from class_kit import Deck, Planted, hand_ins, learn

from recall.cohort.items import fit, log_odds, suspects
from recall.cohort.rates import rates_of

# LSAT section 6 (Bock and Lieberman 1970, Psychometrika 35:179): how many of 1,000 people gave each pattern of right
# answers to five items.
LSAT_6 = {
    "00000": 3, "00001": 6, "00010": 2, "00011": 11, "00100": 1, "00101": 1, "00110": 3, "00111": 4, "01000": 1,
    "01001": 8, "01011": 16, "01101": 3, "01110": 2, "01111": 15, "10000": 10, "10001": 29, "10010": 14, "10011": 81,
    "10100": 3, "10101": 28, "10110": 15, "10111": 80, "11000": 16, "11001": 56, "11010": 21, "11011": 173,
    "11100": 11, "11101": 61, "11110": 28, "11111": 298,
}  # fmt: skip
RIGHT = np.array([[int(one) for one in pattern] for pattern, people in LSAT_6.items() for _ in range(people)])
PERSON, POINT = np.repeat(np.arange(1000), 5), np.tile(np.arange(5), 1000)
ONES = np.ones(5000, np.int64)


def test_lsat_6_has_its_known_parameters() -> None:
    """Two-parameter logistic model, marginal maximum likelihood: slopes 0.825 0.723 0.890 0.689 0.658,
    intercepts 2.773 0.990 0.249 1.285 2.053 (the values usually printed for these data, from memory)."""
    found = fit(PERSON, POINT, RIGHT.reshape(-1), ONES, np.zeros(5000), pooled=False, still=1e-5)

    assert [0.825, 0.723, 0.890, 0.689, 0.658] == pytest.approx(found.discrimination.tolist(), abs=0.003)
    assert [2.773, 0.990, 0.249, 1.285, 2.053] == pytest.approx(found.ease.tolist(), abs=0.002)


def test_a_statistics_package_finds_the_same() -> None:
    """`girth` (a general package for item response theory) on the same data, within what its coarser grid
    allows."""
    from girth import twopl_mml  # draws in all of scipy's statistics

    other = twopl_mml(RIGHT.T)

    found = fit(PERSON, POINT, RIGHT.reshape(-1), ONES, np.zeros(5000), pooled=False, still=1e-5)

    assert other["Discrimination"].tolist() == pytest.approx(found.discrimination.tolist(), abs=0.03)
    assert other["Difficulty"].tolist() == pytest.approx(
        (-found.ease / found.discrimination).tolist(), abs=0.15
    )


def test_with_one_answer_each_an_interval_is_the_exact_one() -> None:
    """Then people are as independent as answers: Clopper and Pearson's interval by scipy."""
    from scipy.stats import binomtest  # a second of imports, which collecting needn't pay for

    for right, people in ((120, 400), (170, 300), (990, 1000)):
        sums = {"people": people, "answers": people, "right": right, "rr": right, "rn": right, "nn": people}
        (rate,) = rates_of([sums])

        exact = binomtest(right, people).proportion_ci(method="exact")
        assert (exact.low, exact.high) == pytest.approx((rate.low, rate.high), abs=0.002)


def test_intervals_hold_for_people_who_differ() -> None:
    """30 people of unlike strength with 20 answers each: of 400 such classes 95 % have the true share inside;
    an interval that takes answers for independent would hold for about 70 %."""
    from scipy.stats import binomtest

    random = np.random.default_rng(5)
    true = (1 / (1 + np.exp(-(1.0 + np.random.default_rng(1).normal(0, 1.2, 200_000))))).mean()
    held = naive = 0
    for _ in range(400):
        share = 1 / (1 + np.exp(-(1.0 + random.normal(0, 1.2, 30))))
        r = random.binomial(20, share)
        sums = {
            "people": 30,
            "answers": 600,
            "right": r.sum(),
            "rr": (r * r).sum(),
            "rn": 20 * r.sum(),
            "nn": 12_000,
        }
        (rate,) = rates_of([sums])
        held += rate.low <= true <= rate.high
        plain = binomtest(int(r.sum()), 600).proportion_ci(method="wilson")
        naive += plain.low <= true <= plain.high

    assert 0.92 <= held / 400 <= 0.985
    assert naive / 400 < 0.8


def told_answers(deck: Deck, planted: Planted, seed: int) -> tuple[np.ndarray, ...]:
    """Person, point, right and foretold recall of first answers of a simulated class of 30."""
    from recall.cohort.columns import columns_of

    parts = []
    numbers = {id: card for card, id in enumerate(deck.card_ids())}
    for who, made in enumerate(hand_ins(deck, learn(deck, 30, 40, seed, planted))):
        rows = columns_of(made)[0].filter(pa.compute.field("opens") & pa.compute.field("told").is_valid())
        card = np.array([numbers[each] for each in rows["card"].to_pylist()])
        parts.append(
            (
                np.full(len(card), who),
                card // deck.cards_each,
                rows["right"].to_numpy(),
                rows["told"].to_numpy(),
            )
        )
    return tuple(np.concatenate(columns) for columns in zip(*parts, strict=True))


def test_planted_bad_notes_are_suspected() -> None:
    """Of fifty points in a class of thirty, the ones that everybody misses, and those missed by who knows the
    rest."""
    deck = Deck(topics=5, cards_each=1)
    planted = Planted(bad=(7, 31), turned=(18,))
    person, point, right, told = told_answers(deck, planted, 3)

    far, turned = suspects(
        fit(person, point, right.astype(np.int64), np.ones(len(right), np.int64), log_odds(told)),
        np.arange(50) // 10,
    )

    assert ([7, 31], [18]) == (np.flatnonzero(far).tolist(), np.flatnonzero(turned).tolist())
