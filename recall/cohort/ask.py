"""What is asked of a class's answers: one set of expressions, whatever engine runs them.

Counted are first answers of a day, to what is asked now; weeks and drift look back at what was asked then.
Each figure says on how many people it rests; one that rests on fewer than five isn't given.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

import ibis

from recall.cohort.engine import Tables, summed
from recall.cohort.rates import Rate, rates_of

if TYPE_CHECKING:
    from ibis.expr.types import Table

FEWEST = 5
"""People that a figure rests on at least: with fewer it would tell of one."""
_ = ibis._


class Group(NamedTuple):
    """Answers of one sort. name: values of what they were grouped by; rate: of right ones."""

    name: tuple[Any, ...]
    rate: Rate


def first_answers(tables: Tables) -> "Table":
    """First answers of a day, with what the card is."""
    return tables.answers.filter(_.opens).join(tables.cards.drop("hash"), "card")


def _rows(expression: "Table") -> Iterator[Mapping[str, Any]]:
    yield from expression.to_pyarrow().to_pylist()


def _by(sums: "Table", keys: Sequence[str]) -> "Table":
    """Sums over people of each one's counts, by keys: all that a rate and its interval rest on. sums: as
    `Tables.sums`, with the keys."""
    each = sums.group_by([*keys, "person"]).agg(n=_.n.sum(), r=_.r.sum())
    return each.group_by(keys).agg(
        people=_.count(),
        answers=_.n.sum(),
        right=_.r.sum(),
        rr=(_.r * _.r).sum(),
        rn=(_.r * _.n).sum(),
        nn=(_.n * _.n).sum(),
    )


def _groups(sums: "Table", keys: Sequence[str]) -> list[Group]:
    rows = list(_rows(_by(sums, keys).filter(_.people >= FEWEST).order_by(keys)))
    names = (tuple(row[key] for key in keys) for row in rows)
    return list(map(Group, names, rates_of(rows)))


def _known(tables: Tables) -> "Table":
    """Each person's sums on each card, with what the card is."""
    return tables.sums.join(tables.cards.drop("hash"), "card")


def whole(tables: Tables) -> Group | None:
    """All answers; None from too few people."""
    return next(iter(_groups(_known(tables).mutate(all=ibis.literal("")), ["all"])), None)


def topics(tables: Tables) -> list[Group]:
    """By system and topic."""
    return _groups(_known(tables), ["system", "topic"])


def points(tables: Tables) -> list[Group]:
    """By point."""
    return _groups(_known(tables), ["point"])


def cards(tables: Tables) -> dict[str, Rate]:
    """By card."""
    return {card: rate for (card,), rate in _groups(tables.sums, ["card"])}


def weeks(tables: Tables) -> list[Group]:
    """By topic and week, as the Monday that it begins with."""
    return _groups(weekly(tables), ["topic", "week"])


def weekly(tables: Tables) -> "Table":
    """Each person's sums by topic and week."""
    return summed(first_answers(tables).mutate(week=_.day.truncate("W")), ["topic", "week"])


def revisions(tables: Tables) -> list[str]:
    """The revisions under which answers were given."""
    return [row["revision"] for row in _rows(tables.answers.select("revision").distinct()) if row["revision"]]


def topic_of_points(tables: Tables) -> list[Mapping[str, Any]]:
    """The topic of each point."""
    return list(_rows(tables.cards.group_by("point").agg(topic=_.topic.min())))


def typed(tables: Tables) -> list[tuple[str, str, int, int]]:
    """What was typed instead of the answer, where it was handed in and people typed the same: card, words,
    people, people of whom what they typed is known; of each card the most frequent first."""
    known = tables.now.filter(_.given.notnull() & _.opens)
    of = known.group_by("card").agg(of=_.person.nunique())
    words = known.filter(~_.right & (_.given.strip() != "")).mutate(words=_.given.strip().lower())
    same = words.group_by(["card", "words"]).agg(people=_.person.nunique()).filter(_.people >= FEWEST)
    ranked = same.join(of, "card").order_by(["card", ibis.desc("people"), "words"])
    found = ((row["card"], row["words"], row["people"], row["of"]) for row in _rows(ranked))
    return [one for one in found if any(map(str.isalnum, one[1]))]  # not a mere `?`


def confusions(tables: Tables) -> list[tuple[str, str, int]]:
    """Cards whose wrong answers are another card's right one: both, and how many people."""
    words = tables.now.filter(_.given.notnull() & ~_.right).mutate(words=_.given.strip().lower())
    cards = tables.cards.select("card", "kind", "aspect", words=_.answer.strip().lower())
    asked = tables.cards.select("card", "kind", "aspect")
    other = cards.rename(other="card")
    pairs = (
        words.select("person", "card", "words").join(asked, "card").join(other, ["kind", "aspect", "words"])
    )
    ranked = (
        pairs.filter(_.card != _.other)
        .group_by(["card", "other"])
        .agg(people=_.person.nunique())
        .filter(_.people >= FEWEST)
        .order_by([ibis.desc("people"), "card", "other"])
    )
    return [(row["card"], row["other"], row["people"]) for row in _rows(ranked)]


def judged(tables: Tables, people: int) -> "Table":
    """What points are judged by, a row a person and point, of `people` people at most, drawn by their keys,
    which are random. of: answers of which recall was foretold; right: of them; foretold: their mean recall."""
    tried = tables.sums.filter(_.of > 0)
    drawn = tried.select("person").distinct().order_by("person").limit(people)
    told = tried.semi_join(drawn, "person").join(tables.cards.select("card", "point"), "card")
    sums = told.group_by(["person", "point"]).agg(of=_.of.sum(), right=_.came.sum(), told=_.foretold.sum())
    return sums.mutate(foretold=_.told / _.of).drop("told")


def memories(tables: Tables) -> "Table":
    """What each person remembers of cards as they are asked now."""
    now = tables.cards.select("card", "hash")
    return tables.memories.join(now, ["card", "hash"]).select("person", "card", "holds", "day", "decay")


def days(tables: Tables) -> "Table":
    """Each person's days: what was foretold of the first answers, its variance, and what came."""
    told = tables.answers.filter(_.opens & _.told.notnull() & (_.told < 1.0) & (_.gap > 0))
    return told.group_by(["person", "day"]).agg(
        predicted=_.told.sum(),
        variance=(_.told * (1.0 - _.told)).sum(),
        right=_.right.cast("float64").sum(),
    )
