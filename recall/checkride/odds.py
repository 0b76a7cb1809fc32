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
    """passed: chance of passing. low, high: 95 % interval, from how well the person's form is known.

    mark_alone, with_areas: what the chance would be if only the total counted, and if each area counted too where
    the examination says so, but no critical miss. expected: mean share of right answers. spread: estimated standard
    deviation of a day's log odds. days_of_history: days it comes from. areas: in the order of the examination.
    """

    passed: float
    low: float
    high: float
    mark_alone: float
    with_areas: float
    expected: float
    spread: float
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


@dataclass(frozen=True, eq=False)
class _Chances:
    """Chances at each possible bias, shapes (BIASES,): of passing, with areas but no critical rule, by the mark
    alone; by area of reaching it, and of passing were it perfect, shapes (areas, BIASES). expected: right answers."""

    passed: Floats
    with_areas: Floats
    mark_alone: Floats
    reached: Floats
    perfect: Floats
    expected: float


def odds(examination: Examination, views: Sequence[View]) -> Odds:
    """The odds over all views, whose weights add up to 1."""
    found = [_chances(examination, view) for view in views]
    weight = np.concatenate([np.full(len(BIASES), view.weight / len(BIASES)) for view in views])

    def mean(name: str) -> Floats:
        return np.asarray(np.concatenate([getattr(one, name) for one in found], axis=-1) @ weight)

    passed, with_areas, mark_alone = (
        float(np.clip(mean(name), 0.0, 1.0)) for name in ("passed", "with_areas", "mark_alone")
    )
    parts = [
        AreaOdds(area.topic, area.questions, float(reached), max(float(best) - passed, 0.0))
        for area, reached, best in zip(examination.areas, mean("reached"), mean("perfect"), strict=True)
    ]
    low, high = _interval(weight, np.concatenate([one.passed for one in found]))
    return Odds(
        passed, min(low, passed), max(high, passed), mark_alone, with_areas,
        sum(view.weight * one.expected for view, one in zip(views, found, strict=True)) / examination.questions,
        sum(view.weight * view.form.spread for view in views),
        views[0].form.days, tuple(parts),
    )  # fmt: skip


def _chances(examination: Examination, view: View) -> _Chances:
    recall, spread, drawn = view.form.trued(view.recall), view.form.spread, np.zeros(len(view.recall))
    for area in examination.areas:
        drawn[area.cards] = area.questions / max(len(area.cards), 1)
    shifts = view.form.unsure(recall, drawn) * BIASES[:, None] + spread * NODES

    def over(at_shift: Floats) -> Floats:
        """Chances at each bias, the day's own shift integrated out."""
        return np.asarray(np.interp(shifts, SHIFTS, at_shift) @ (NODE_WEIGHTS / NODE_WEIGHTS.sum()))

    need = needed(examination.pass_mark, examination.questions)
    plain, strict = zip(
        *(_tables(area, examination, recall, spread) for area in examination.areas), strict=True
    )
    tables = [_by_area(table, examination) for table in strict]
    total, areas_too, alone = (
        over(_pass_table(some, need))
        for some in (tables, [_by_area(table, examination) for table in plain], list(plain))
    )
    reached, best = [], []
    for at, (area, table) in enumerate(zip(examination.areas, tables, strict=True)):
        perfect = np.zeros_like(table)
        perfect[:, -1] = 1.0
        best.append(over(_pass_table([*tables[:at], perfect, *tables[at + 1 :]], need)))
        least = needed(examination.pass_mark, area.questions)
        reached.append(over(table[:, least:].sum(axis=1)))
    return _Chances(total, areas_too, alone, np.stack(reached), np.stack(best), float(drawn @ recall))


def poisson_binomial(chances: Sequence[float] | Floats) -> Floats:
    """Chances of 0..n right answers to n questions with these chances (n,), independent. Shape (n + 1,)."""
    scores = np.ones(1)
    for chance in chances:
        scores = np.append(scores * (1.0 - chance), 0.0) + np.append(0.0, scores * chance)
    return scores


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


def _tables(area: Area, examination: Examination, recall: Floats, spread: float) -> tuple[Floats, Floats]:
    """Chances of the scores of an area by shift, and the same without those where a critical card is missed."""
    chances = widened(recall[area.cards], spread, SHIFTS)
    none = np.zeros(len(area.cards), dtype=np.bool_)
    strict = none if examination.without_fail is None else examination.without_fail[area.cards]
    plain = drawn_scores(chances, area.questions, none)
    return plain, drawn_scores(chances, area.questions, strict) if strict.any() else plain


def _by_area(table: Floats, examination: Examination) -> Floats:
    """Without the scores that fail an area, where each must reach the mark."""
    if not examination.each_area:
        return table
    return np.where(np.arange(table.shape[1]) < needed(examination.pass_mark, table.shape[1] - 1), 0.0, table)


def _pass_table(tables: list[Floats], need: int) -> Floats:
    total = np.ones((len(SHIFTS), 1))
    for table in tables:
        wider = np.zeros((len(SHIFTS), total.shape[1] + table.shape[1] - 1))
        for score in range(table.shape[1]):
            wider[:, score : score + total.shape[1]] += total * table[:, score, None]
        total = wider
    return np.asarray(total[:, need:].sum(axis=1))


def _interval(weight: Floats, chances: Floats) -> tuple[float, float]:
    order = np.argsort(chances)
    reached = np.cumsum(weight[order])
    low, high = (
        chances[order][min(int(np.searchsorted(reached, q)), len(order) - 1)] for q in (0.025, 0.975)
    )
    return float(low), float(high)
