"""Simulated classes, whose truth is known: weak topics and bad notes are planted, then people learn and hand
in."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from cli_kit import recall
from numpy.typing import NDArray

from recall.base.dataclass import replace
from recall.base.text import digest
from recall.cohort.handin import COLUMNS, HandIn, own_key, seal
from recall.cohort.sealed import public_of
from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.publish.sign import seed_of
from recall.schedule.batch import answered_all, first_memory, intervals, recall_curve

FIRST_DAY = 739_900


@dataclass(frozen=True)
class Deck:
    """topics x points x cards: card c is of point c // cards_each, point p of topic p // points_each."""

    topics: int = 10
    points_each: int = 10
    cards_each: int = 2

    @property
    def points(self) -> int:
        """Points in it."""
        return self.topics * self.points_each

    @property
    def cards(self) -> int:
        """Cards in it."""
        return self.points * self.cards_each

    def card_ids(self) -> list[str]:
        """Their ids, in order."""
        return [digest(("card", str(card))) for card in range(self.cards)]

    def rows(self) -> list[dict[str, object]]:
        """What `columns.CARDS` holds of them."""
        return [
            {
                "card": id,
                "hash": digest(("answer", id)),
                "point": f"point {card // self.cards_each:05d}",
                "kind": "limit",
                "aspect": ("maximum", "minimum")[card % 2],
                "system": f"System {card // self.cards_each // self.points_each // 5}",
                "topic": f"Topic {card // self.cards_each // self.points_each:03d}",
                "subject": f"Point {card // self.cards_each}",
                "prompt": f"What is {card}?",
                "answer": str(card),
                "critical": False,
                "file": "limits.md",
                "line": card + 1,
            }
            for card, id in enumerate(self.card_ids())
        ]


@dataclass(frozen=True)
class Planted:
    """weak: topics whose answers come less often than foretold; bad: points that everybody misses far more;
    turned: points missed by those who know the rest; harder: points that are missed more from a day on,
    `since`. by: log odds taken off."""

    weak: tuple[int, ...] = ()
    bad: tuple[int, ...] = ()
    turned: tuple[int, ...] = ()
    harder: tuple[int, ...] = ()
    since: int = 0
    harder_by: float = 1.5
    weak_by: float = 1.0
    bad_by: float = 2.5


@dataclass(eq=False)
class Learned:
    """Answers of a class in columns (m,), in the order of days; the share of right ones that each topic had
    to expect."""

    person: NDArray[np.int64]
    card: NDArray[np.int64]
    day: NDArray[np.int64]
    mark: NDArray[np.int64]
    expected: NDArray[np.float64]


def learn(
    deck: Deck,
    people: int,
    days: int,
    seed: int,
    planted: Planted = Planted(),
    a_day: int = 10,
    scatter: float = 0.4,
) -> Learned:
    """People who begin `a_day` cards a day and review what is due. Log odds of recall are those of the memory
    model, plus the person's strength (spread 0.6), the point's own ease (spread `scatter`) and what is
    planted."""
    random = np.random.default_rng(seed)
    strength = random.normal(0.0, 0.6, people)
    ease = random.normal(0.0, scatter, deck.points)
    point = np.arange(deck.cards) // deck.cards_each
    topic = point // deck.points_each
    ease[list(planted.bad)] -= planted.bad_by
    per_card = ease[point] - planted.weak_by * np.isin(topic, planted.weak)
    slope = np.where(np.isin(point, planted.turned), -2.0, 1.0)
    offset = (
        slope[None, :] * strength[:, None] + per_card[None, :] - 1.0 * np.isin(point, planted.turned)[None, :]
    )
    order = np.argsort(random.random((people, deck.cards)), axis=1)
    begins = np.empty((people, deck.cards), np.int64)
    np.put_along_axis(begins, order, np.arange(deck.cards)[None, :] // a_day, axis=1)
    due = begins.copy()
    holds, difficulty = np.full((people, deck.cards), np.nan), np.full((people, deck.cards), np.nan)
    last = np.full((people, deck.cards), -1, np.int64)
    found = []
    later = planted.harder_by * np.isin(point, planted.harder)
    hoped, asked = np.zeros(deck.topics), np.zeros(deck.topics)
    for day in range(days):
        who, card = np.nonzero(due <= day)
        if not len(who):
            continue
        fresh = last[who, card] < 0
        since = np.where(fresh, 0, day - last[who, card])
        base = np.where(fresh, 0.5, recall_curve(np.where(fresh, 1.0, holds[who, card]), since))
        odds = np.log(np.clip(base, 1e-6, 1 - 1e-6) / np.clip(1 - base, 1e-6, 1)) + offset[who, card]
        odds = odds - (later[card] if day >= planted.since else 0.0)
        chance = 1 / (1 + np.exp(-odds))
        hoped += np.bincount(topic[card], chance, deck.topics)
        asked += np.bincount(topic[card], minlength=deck.topics)
        mark = np.where(random.random(len(who)) < chance, 3, 1)
        new_holds, new_hard = first_memory(mark)
        at = np.flatnonzero(~fresh)
        if len(at):
            pair = who[at], card[at]
            new_holds[at], new_hard[at], _ = answered_all(holds[pair], difficulty[pair], since[at], mark[at])
        holds[who, card], difficulty[who, card], last[who, card] = new_holds, new_hard, day
        due[who, card] = day + intervals(new_holds, 0.9, np.zeros(len(who), bool))
        found.append((who, card, np.full(len(who), day), mark))
    person, card, day, mark = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return Learned(person, card, day, mark, hoped / np.maximum(asked, 1))


def hand_ins(deck: Deck, learned: Learned, to: str = "0" * 64, slug: str = "skerry") -> list[HandIn]:
    """A hand-in of each person."""
    ids = deck.card_ids()
    hashes = [digest(("answer", id)) for id in ids]
    made = []
    order = np.lexsort((learned.day, learned.card, learned.person))
    person = learned.person[order]
    bounds = np.searchsorted(person, np.arange(person.max() + 2))
    for one in range(person.max() + 1):
        rows = order[bounds[one] : bounds[one + 1]]
        m = len(rows)
        columns = {name: [0] * m for name in COLUMNS}
        columns["card"] = columns["hash"] = learned.card[rows].tolist()
        columns["day"] = (FIRST_DAY + learned.day[rows]).tolist()
        columns["mark"] = learned.mark[rows].tolist()
        columns["right"] = (learned.mark[rows] > 1).astype(int).tolist()
        columns["seconds"] = [None] * m
        key = digest(("person", str(one))) + digest(("more", str(one))) + digest(("still", str(one)))
        made.append(
            HandIn(
                to, (key + "0" * 64)[:64], slug, 1, "", False, (), tuple(ids), tuple(hashes), ("1",), columns
            )
        )
    return made


def real_class(
    folder: Path, notes: Path, people: int = 12, days: int = 40, bad: tuple[int, ...] = (2,)
) -> Path:
    """A folder with a deck as it was published and the hand-ins of people who learned it; its class key is
    `class.key` beside it. bad: cards that everybody misses, typing `24`."""
    folder.mkdir(parents=True, exist_ok=True)
    key = folder.parent / "class.key"
    recall("keys", "new", key)
    assert 0 == recall("publish", notes, "--sign", key, "--out", folder).code
    seed = seed_of(key)
    cards = [card for source in find_sources(notes) for card in read_deck(source)[0].cards]
    shape = Deck(topics=1, points_each=len(cards), cards_each=1)
    learned = learn(shape, people, days, 1, Planted(bad=bad, bad_by=4.0), a_day=max(3, len(cards) // 20))
    for who, made in enumerate(hand_ins(shape, learned, public_of(seed), cards[0].deck)):
        own = own_key(bytes([who + 1]) * 32, made.to)
        answers = zip(made.answers["card"], made.answers["right"], strict=True)
        words = tuple("" if right else "24" if card in bad else "?" for card, right in answers)
        sent = replace(
            made,
            person=public_of(own),
            name="" if who % 3 else f"Trainee {who + 1}",
            cards=tuple(card.id for card in cards),
            hashes=tuple(card.answer_hash for card in cards),
            given=words,
        )
        folder.joinpath(f"{who}.handin").write_bytes(seal(sent, own))
    return folder
