"""The odds of passing: the exact distribution of the score, widened by the spread of the person's own days.

Within an area the questions are drawn without replacement, and given the form of the day answers are independent,
so the score is a Poisson binomial mixed over the draw. The form of the day moves the log odds of all answers
together; its spread, and how the person lies beside their model, come from past days (`form`).
"""

from collections.abc import Sequence
from math import comb
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.text import count
from recall.checkride.form import Form
from recall.checkride.model import Bools, Floats, Ints
from recall.checkride.oral import needed
from recall.checkride.state import Mind

SHIFTS = np.linspace(-4.0, 4.0, 41)
BIASES = np.array([NormalDist().inv_cdf((at + 0.5) / 80) for at in range(80)])
"""Possible biases, as likely as one another, in standard deviations."""
NODES, NODE_WEIGHTS = np.polynomial.hermite_e.hermegauss(21)
LOGISTIC = 16 * np.sqrt(3) / (15 * np.pi)
"""Scale between the logistic and the normal distribution function."""
SURE_ENOUGH = 1e-6
MANY = 2
"""So many times as many cards as questions, and the power sums lose no digits (1e-14 in all that were tried)."""


@dataclass(frozen=True, eq=False)
class Area:
    """A part of the examination. cards: indices of the cards it draws from (k,), in no other area. questions: number
    drawn, 0 to k."""

    topic: str
    cards: Ints
    questions: int


@dataclass(frozen=True, eq=False)
class Examination:
    """pass_mark: share of right answers to reach, 0..1. each_area: every area must reach it too.

    without_fail: cards (n,) of which, when drawn, none may be missed; None: no such rule.
    """

    areas: tuple[Area, ...]
    pass_mark: float
    each_area: bool = False
    without_fail: Bools | None = None

    def __post_init__(self) -> None:
        """Refuse an examination that can't be drawn: RecallError."""
        if not 0.0 <= self.pass_mark <= 1.0:
            raise RecallError("a pass mark is a share from 0 to 1")
        for area in self.areas:
            if not 0 <= area.questions <= len(area.cards):
                raise RecallError(
                    f"`{area.topic}` has {count(len(area.cards), 'card')} for {count(area.questions, 'question')}",
                    "ask fewer questions of it",
                )
        cards = np.concatenate([area.cards for area in self.areas]) if self.areas else np.empty(0)
        if len(np.unique(cards)) < len(cards):
            raise RecallError("areas share cards", "give each card to one of them")
        if not self.questions:
            raise RecallError("the examination has no questions", "give each topic a number of questions")

    @property
    def questions(self) -> int:
        """Questions in all."""
        return sum(area.questions for area in self.areas)

    def drawn(self, count: int) -> Floats:
        """How often each of so many cards is asked, 0..1 (count,)."""
        found = np.zeros(count)
        for area in self.areas:
            found[area.cards] = area.questions / max(len(area.cards), 1)
        return found


@dataclass(frozen=True)
class AreaOdds:
    """One area. passed: chance of reaching the mark there (no critical miss). cost: what it takes off the odds.

    cost: the odds if every answer in this area were right, less the odds.
    """

    topic: str
    questions: int
    passed: float
    cost: float


@dataclass(frozen=True)
class Odds:
    """passed: chance of passing. low, high: 95 % interval, from how well the person is known.

    mark_alone, with_areas: what the chance would be if only the total counted, and if each area counted too where
    the examination says so, but no critical miss. expected: mean share of right answers. days_of_history: days it
    comes from. areas: in the order of the examination.
    """

    passed: float
    low: float
    high: float
    mark_alone: float
    with_areas: float
    expected: float
    days_of_history: int
    areas: tuple[AreaOdds, ...]

    @property
    def costliest(self) -> tuple[AreaOdds, ...]:
        """Areas by what they take off the odds, most first."""
        return tuple(sorted(self.areas, key=lambda area: -area.cost))


@dataclass(frozen=True, eq=False)
class View:
    """The person as one mind has them: recall of each card at the hour of the examination (n,), what their past days
    as it foretold them tell of their form, how likely it is (0..1)."""

    recall: Floats
    form: Form
    weight: float = 1.0


def views(minds: Sequence[Mind], forms: Sequence[Form], recalls: Sequence[Floats]) -> list[View]:
    """One view for each of the first minds, with what they recall on the date."""
    return [
        View(recall, known, mind.weight) for mind, known, recall in zip(minds, forms, recalls, strict=False)
    ]


def odds(examination: Examination, views: Sequence[View]) -> Odds:
    """The odds over all views, whose weights add up to 1."""
    drawn = examination.drawn(len(views[0].recall))
    recalls = [view.form.trued(view.recall) for view in views]
    found = [_chances(examination, view.form, own, drawn) for view, own in zip(views, recalls, strict=True)]
    chances = np.concatenate(found, axis=1)
    weight = np.repeat([view.weight for view in views], len(BIASES)) / len(BIASES)
    passed, with_areas, mark_alone, *each = np.clip(chances @ weight, 0.0, 1.0).tolist()
    parts = [
        AreaOdds(area.topic, area.questions, reached, max(perfect - passed, 0.0))
        for area, reached, perfect in zip(examination.areas, each[::2], each[1::2], strict=True)
    ]
    expected = sum(view.weight * float(drawn @ recall) for view, recall in zip(views, recalls, strict=True))
    low, high = _interval(chances[0], views)
    return Odds(
        passed, min(low, passed), max(high, passed), mark_alone, with_areas,
        expected / examination.questions, views[0].form.days, tuple(parts),
    )  # fmt: skip


def recall_interval(views: Sequence[View], counts: Floats) -> tuple[float, float]:
    """95 % interval of recall on the date, a mean over cards that count so (n,)."""
    shares = []
    for view in views:
        recall = view.form.trued(view.recall)
        shares.append(widened(recall, 0.0, view.form.unsure(recall, counts) * BIASES) @ counts / counts.sum())
    return _interval(np.concatenate(shares), views)


def _interval(values: Floats, views: Sequence[View]) -> tuple[float, float]:
    """Of what comes of each view's biases, one after another."""
    order, weight = np.argsort(values), np.repeat([view.weight for view in views], len(BIASES)) / len(BIASES)
    low, high = np.interp((0.025, 0.975), np.cumsum(weight[order]), values[order])
    return float(low), float(high)


def _chances(examination: Examination, known: Form, recall: Floats, drawn: Floats) -> Floats:
    """Chances at each possible bias: of passing, with areas but no critical rule, by the mark alone; by area of
    reaching it, and of passing were it perfect. Shape (3 + 2 * areas, BIASES)."""
    need, none = needed(examination.pass_mark, examination.questions), np.zeros(len(recall), dtype=np.bool_)
    critical = none if examination.without_fail is None else examination.without_fail
    chances = [widened(recall[area.cards], known.spread, SHIFTS) for area in examination.areas]
    plain, strict = (
        [
            drawn_scores(own, area.questions, fails[area.cards])
            for area, own in zip(examination.areas, chances, strict=True)
        ]
        for fails in (none, critical)
    )
    tables = _each_area(strict, examination)
    found = [_passed(some, need) for some in (tables, _each_area(plain, examination), plain)]
    for at, table in enumerate(tables):
        perfect = np.zeros_like(table)
        perfect[:, -1] = 1.0
        least = needed(examination.pass_mark, table.shape[1] - 1)
        found += [table[:, least:].sum(axis=1), _passed([*tables[:at], perfect, *tables[at + 1 :]], need)]
    shifts = known.unsure(recall, drawn) * BIASES[:, None] + known.spread * NODES
    return np.array([np.interp(shifts, SHIFTS, one) @ (NODE_WEIGHTS / NODE_WEIGHTS.sum()) for one in found])


def drawn_scores(chances: NDArray[np.float64], questions: int, without_fail: Bools) -> Floats:
    """Chances of 0..questions right answers to questions drawn without replacement.

    chances: (shifts, k), each row one form of the day. without_fail: (k,), cards whose miss fails the whole: the
    chance of that is left out, so a row may sum to less than 1. Returns (shifts, questions + 1).

    Of few cards, card after card: it is drawn with chance (questions left) / (cards left), which is drawing without
    replacement. Of many, by the elementary symmetric functions of the factors 1 - p + p z (p z where a miss fails the
    whole), from their power sums by Newton's identities, at the roots of unity z: as exact, once per power of p.
    """
    if chances.shape[1] >= MANY * questions:
        return _drawn_of_many(chances, questions, without_fail)
    rows, count = chances.shape
    state = np.zeros((rows, questions + 1, questions + 1))  # shifts, drawn so far, right so far
    state[:, 0, 0] = 1.0
    left = questions - np.arange(questions)
    for card in range(count):
        taken = state[:, :-1] * np.clip(left / (count - card), 0.0, 1.0)[:, None]
        state[:, :-1] -= taken
        right = chances[:, card, None, None]
        state[:, 1:, 1:] += taken[:, :, :-1] * right
        if not without_fail[card]:
            state[:, 1:] += taken * (1.0 - right)
    return np.asarray(state[:, questions])


def _drawn_of_many(chances: Floats, questions: int, without_fail: Bools) -> Floats:
    """The same, of at least MANY times as many cards."""
    rows, count = chances.shape
    z = np.exp(-2j * np.pi * np.arange(questions + 1) / (questions + 1))
    plain, strict = (np.empty((rows, questions + 1)) for _ in range(2))  # sums of powers of the chances
    power = np.ones(chances.shape)
    for order in range(questions + 1):
        plain[:, order] = power[:, ~without_fail].sum(axis=1)
        strict[:, order] = power[:, without_fail].sum(axis=1)
        power *= chances
    sums = np.empty((questions + 1, rows, questions + 1), dtype=np.complex128)
    ways = np.zeros((questions + 1, rows, questions + 1), dtype=np.complex128)
    ways[0] = 1.0
    for order in range(1, questions + 1):
        binomial = [comb(order, part) for part in range(order + 1)]
        sums[order] = (plain[:, : order + 1] * binomial) @ (z - 1.0) ** np.arange(order + 1)[:, None]
        sums[order] += strict[:, order, None] * z**order
        share = 1.0 / order  # over the number of draws of so many, so that all stays within 1
        for part in range(1, order + 1):
            share *= -(order - part + 1) / (count - order + part)
            ways[order] -= share * ways[order - part] * sums[part]
    return np.clip(np.fft.ifft(ways[questions], axis=1).real, 0.0, 1.0)


def widened(recall: Floats, spread: float, shifts: Floats) -> Floats:
    """Chances (shifts, k) of right answers when the day moves all log odds by a shift.

    With shifts that spread normally, the mean over days stays near `recall`.
    """
    inside = np.clip(recall, SURE_ENOUGH, 1.0 - SURE_ENOUGH)
    level = np.log(inside / (1.0 - inside)) * np.sqrt(1.0 + (LOGISTIC * spread) ** 2)
    moved = 1.0 / (1.0 + np.exp(-(level + np.asarray(shifts)[:, None])))
    return np.where(recall <= 0.0, 0.0, moved)


def _each_area(tables: list[Floats], examination: Examination) -> list[Floats]:
    """Chances of scores by area, without those that fail it, where each must reach the mark."""
    if not examination.each_area:
        return tables
    needs = [needed(examination.pass_mark, area.questions) for area in examination.areas]
    return [
        np.where(np.arange(table.shape[1]) < need, 0.0, table)
        for table, need in zip(tables, needs, strict=True)
    ]


def _passed(tables: list[Floats], need: int) -> Floats:
    """Chance of as many right answers over all areas, by shift."""
    total = np.ones((len(SHIFTS), 1))
    for table in tables:
        wider = np.zeros((len(SHIFTS), total.shape[1] + table.shape[1] - 1))
        for score in range(table.shape[1]):
            wider[:, score : score + total.shape[1]] += total * table[:, score, None]
        total = wider
    return np.asarray(total[:, need:].sum(axis=1))
