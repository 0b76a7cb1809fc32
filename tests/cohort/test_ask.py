"""What is asked of a class's table, against a plain count over its rows."""

from collections import Counter, defaultdict
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from class_kit import FIRST_DAY, Deck, Planted, hand_ins, learn

from recall.base.dataclass import replace
from recall.cohort import ask, contrast
from recall.cohort.columns import CARDS
from recall.cohort.engine import Tables, open_tables
from recall.cohort.taken import keep

DECK = Deck(topics=6, points_each=5)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A class of 60 with 100,000 answers, who type one wrong answer now and then."""
    folder = tmp_path_factory.mktemp("class")
    learned = learn(DECK, 60, 200, 7, Planted(weak=(2,)), a_day=10)
    for made in hand_ins(DECK, learned):
        answers = zip(made.answers["card"], made.answers["mark"], strict=True)
        words = tuple("24 V" if (card, mark) == (3, 1) else "" for card, mark in answers)
        keep(folder, replace(made, given=words))
    return folder


@pytest.fixture(scope="module")
def tables(folder: Path) -> Tables:
    """Its tables."""
    return open_tables(folder, "skerry", pa.Table.from_pylist(DECK.rows(), schema=CARDS))


@pytest.fixture(scope="module")
def rows(folder: Path) -> list[dict[str, Any]]:
    """All its answers, with what their cards are."""
    cards = {row["card"]: row for row in DECK.rows()}
    files = sorted((folder / "kept" / "answers" / "deck=skerry").glob("*.parquet"))
    return [cards[row["card"]] | row for file in files for row in pq.read_table(file).to_pylist()]


def test_there_are_many_rows(rows: list[dict[str, Any]]) -> None:
    """As many as the other tests are to hold for."""
    assert len(rows) > 50_000


def test_the_first_answer_of_a_day_opens_it(rows: list[dict[str, Any]]) -> None:
    """Once a day, card and person; the first of all has no gap and nothing foretold."""
    opened = Counter((row["person"], row["card"], row["day"]) for row in rows if row["opens"])

    assert {1} == set(opened.values())
    assert all((row["gap"] is None) == (row["nth"] == 0) == (row["told"] is None) for row in rows)


def test_rates_are_a_plain_count(tables: Tables, rows: list[dict[str, Any]]) -> None:
    """Answers, right ones and people by topic."""
    counted: dict[str, list[int]] = defaultdict(lambda: [0, 0])
    people = defaultdict(set)
    for row in rows:
        if row["opens"]:
            counted[row["topic"]][0] += 1
            counted[row["topic"]][1] += row["right"]
            people[row["topic"]].add(row["person"])

    found = {group.name[1]: group.rate for group in ask.topics(tables)}
    assert {topic: (len(people[topic]), n, right) for topic, (n, right) in counted.items()} == {
        topic: (rate.people, rate.answers, rate.right) for topic, rate in found.items()
    }


def test_weeks_begin_on_a_monday(tables: Tables, rows: list[dict[str, Any]]) -> None:
    """Counts by topic and week are those of a plain count; weeks with fewer than five people are left out."""
    counted: Counter[tuple[str, date]] = Counter()
    people = defaultdict(set)
    for row in rows:
        if row["opens"]:
            name = row["topic"], row["day"] - timedelta(days=row["day"].weekday())
            counted[name] += 1
            people[name].add(row["person"])

    found = {group.name: group.rate.answers for group in ask.weeks(tables)}
    assert {name: n for name, n in counted.items() if len(people[name]) >= 5} == found


def test_what_most_people_typed_is_told_with_how_many(tables: Tables, rows: list[dict[str, Any]]) -> None:
    """Words that several typed, of a card of whose answers words were handed in."""
    card = DECK.card_ids()[3]
    typed = {row["person"] for row in rows if row["card"] == card and row["given"] and row["opens"]}

    assert [(card, "24 v", len(typed), 60)] == ask.typed(tables)


def test_the_planted_topic_is_the_weak_one(tables: Tables) -> None:
    """And no other one."""
    assert ["Topic 002"] == [one.name for one in contrast.weak_topics(tables)]


def test_nothing_is_told_of_fewer_than_five(folder: Path, tmp_path: Path) -> None:
    """Four people's answers give no figure; the fifth's do."""
    kept = sorted((folder / "kept" / "answers" / "deck=skerry").glob("*.parquet"))
    into = tmp_path / "kept" / "answers" / "deck=skerry"
    into.mkdir(parents=True)
    found = []
    for file in kept[:5]:
        into.joinpath(file.name).write_bytes(file.read_bytes())
        tables = open_tables(tmp_path, "skerry", pa.Table.from_pylist(DECK.rows(), schema=CARDS))
        found.append((ask.whole(tables) is None, ask.points(tables) == [], ask.topics(tables) == []))

    assert [(True, True, True)] * 4 + [(False, False, False)] == found


def test_days_are_those_that_were_handed_in(rows: list[dict[str, Any]]) -> None:
    """A day's number survives the way through the columns."""
    assert date.fromordinal(FIRST_DAY + 199) == max(row["day"] for row in rows)
