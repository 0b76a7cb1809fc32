"""Groups of answers against others, person by person: which topics are weak, and what drifted with a
revision.

What is compared is each person's surplus: right answers less what their own memory model foretold of them, a
share of answers. So it counts for nothing that a topic was begun late, or that people got better anyway.
"""

from typing import TYPE_CHECKING, Any

import ibis
import numpy as np

from recall.base.dataclass import dataclass
from recall.cohort.ask import FEWEST, first_answers
from recall.cohort.engine import Tables
from recall.cohort.items import Floats

if TYPE_CHECKING:
    from collections.abc import Collection

    from ibis.expr.types import Table

ERROR_RATE = 0.05
"""Of what is named, at most such a share is named by chance (Benjamini and Hochberg 1995)."""
_LEAST_TOPIC = 0.03
"""A topic that falls behind the others by a smaller share of its answers isn't called weak."""
_ = ibis._


@dataclass(frozen=True, slots=True)
class Contrast:
    """One group. by: mean surplus over the others' (weak topics), or after less before (drift), a share of
    answers; low, high: its 95 % interval; sure: whether it stands among all groups at ERROR_RATE."""

    name: str
    people: int
    by: float
    low: float
    high: float
    sure: bool


def _surplus(tables: Tables) -> "Table":
    """First answers of a day with their surplus. What nothing foretold, a first answer of all, is expected to
    come as the class's first answers do."""
    answers = first_answers(tables)
    usual = answers.filter(_.told.isnull()).right.cast("float64").mean().to_pyarrow().as_py() or 0.0
    return answers.mutate(surplus=_.right.cast("float64") - _.told.fill_null(usual))


def weak_topics(tables: Tables, without: "Collection[str]" = ()) -> list[Contrast]:
    """Topics in which people fall behind what they do elsewhere, the furthest first. without: points whose
    note is suspected, which say nothing of a topic."""
    sums = tables.sums.filter(_.of > 0).join(tables.cards.select("card", "topic", "point"), "card")
    if without:
        sums = sums.filter(_.point.notin(list(without)))
    own = sums.group_by(["topic", "person"]).agg(n=_.of.sum(), s=_.came.sum() - _.foretold.sum())
    all = sums.group_by("person").agg(whole_n=_.of.sum(), whole_s=_.came.sum() - _.foretold.sum())
    pairs = own.join(all, "person").filter(_.whole_n > _.n)
    each = pairs.mutate(d=_.s / _.n - (_.whole_s - _.s) / (_.whole_n - _.n))
    sums = each.group_by("topic").agg(people=_.count(), mean=_.d.mean(), spread=_.d.std(how="sample"))
    rows = sums.filter(_.people >= FEWEST).order_by("topic").to_pyarrow().to_pylist()
    people, mean, spread = (_column(rows, name) for name in ("people", "mean", "spread"))
    topics = [row["topic"] for row in rows]
    found = _contrasts(topics, people, mean, spread**2 / people, people - 1, below=True)
    return sorted((one for one in found if one.sure and one.by < -_LEAST_TOPIC), key=lambda one: one.by)


def drift(tables: Tables, since: "Collection[str]") -> list[Contrast]:
    """Points answered otherwise since a revision, the furthest first. since: that revision and all later
    ones."""
    if not since:
        return []
    answers = _surplus(tables).mutate(after=_.revision.isin(list(since)))
    own = answers.group_by(["point", "after", "person"]).agg(d=_.surplus.mean())
    sums = own.group_by(["point", "after"]).agg(
        people=_.count(), mean=_.d.mean(), spread=_.d.std(how="sample")
    )
    both: dict[str, dict[bool, dict[str, Any]]] = {}
    for row in sums.filter(_.people >= FEWEST).order_by(["point", "after"]).to_pyarrow().to_pylist():
        both.setdefault(row["point"], {})[row["after"]] = row
    named = [(point, sides[False], sides[True]) for point, sides in both.items() if len(sides) == 2]
    before, after = [one for _, one, _ in named], [one for _, _, one in named]
    noise = [_noise(side) for side in (before, after)]
    people = [_column(side, "people") for side in (before, after)]
    both_sides = sum(part**2 / (many - 1) for part, many in zip(noise, people, strict=True))
    freedom = (noise[0] + noise[1]) ** 2 / np.maximum(both_sides, 1e-300)
    found = _contrasts(
        [point for point, *_ in named],
        np.minimum(*people),
        _column(after, "mean") - _column(before, "mean"),
        noise[0] + noise[1],
        np.maximum(freedom, 1.0),
    )
    return sorted((one for one in found if one.sure), key=lambda one: -abs(one.by))


def _noise(rows: list[dict[str, Any]]) -> Floats:
    """Variance of a mean over people; where all did the same, as if one more had done otherwise."""
    people = _column(rows, "people")
    other = 1 / (people + 2)
    return np.maximum(_column(rows, "spread") ** 2, other * (1 - other)) / people


def _column(rows: list[dict[str, Any]], name: str) -> Floats:
    return np.array([row[name] for row in rows], np.float64)


def _contrasts(
    names: list[str],
    people: Floats,
    by: Floats,
    variance: Floats,
    freedom: Floats,
    *,
    below: bool = False,
) -> list[Contrast]:
    """Student's t for each, all together held to ERROR_RATE. below: only what falls behind counts."""
    from scipy.special import stdtr, stdtrit  # type: ignore[import-untyped]

    error = np.sqrt(np.maximum(variance, 1e-12))
    tail = stdtr(freedom, by / error) if below else 2 * stdtr(freedom, -np.abs(by) / error)
    order = np.argsort(tail)
    within = np.flatnonzero(tail[order] <= ERROR_RATE * np.arange(1, len(order) + 1) / max(len(order), 1))
    sure = np.zeros(len(order), bool)
    sure[order[: within[-1] + 1 if within.size else 0]] = True
    reach = stdtrit(freedom, 0.975) * error
    low, high = np.maximum(by - reach, -1.0), np.minimum(by + reach, 1.0)
    columns = (people.astype(int).tolist(), by.tolist(), low.tolist(), high.tolist(), sure.tolist())
    return list(map(Contrast, names, *columns))
