"""A class's folder takes hand-ins in: the newest of each trainee, and what isn't one is refused by name."""

import os
from datetime import date, datetime, timezone
from pathlib import Path

import pyarrow.parquet as pq
from class_kit import Deck, hand_ins, learn

from recall.base.dataclass import replace
from recall.cohort.handin import HandIn, own_key, seal
from recall.cohort.sealed import public_of
from recall.cohort.taken import KEPT, people_of, take_in

CLASS = bytes(range(32))
TODAY = date(2026, 11, 24)
DECK = Deck(topics=2, points_each=2)


def sent(who: str, **changed: object) -> tuple[HandIn, bytes]:
    """A hand-in of a trainee, and its file."""
    seed = own_key(who.encode() * 4, public_of(CLASS))
    plain = hand_ins(DECK, learn(DECK, 1, 4, 1), public_of(CLASS))[0]
    made = replace(plain, person=public_of(seed), **changed)  # type: ignore[arg-type]
    return made, seal(made, seed)


def test_a_hand_in_is_kept_as_columns(tmp_path: Path) -> None:
    """An answer a row, the deck as a part of the path, for its owner alone."""
    made, content = sent("ann", name="Ann")
    tmp_path.joinpath("a.handin").write_bytes(content)

    done = take_in(tmp_path, CLASS, TODAY)
    file = tmp_path / KEPT / "answers" / "deck=skerry" / f"{made.person}.parquet"
    assert (["Ann"], made.count) == ([each.called for each in done.people], pq.read_table(file).num_rows)
    assert 0o700 == (tmp_path / KEPT).stat().st_mode & 0o777


def test_a_later_one_replaces_an_earlier_one(tmp_path: Path) -> None:
    """In whatever order they are found; the earlier one is told as passed over."""
    for name, made in (("a", 2), ("b", 1)):
        tmp_path.joinpath(f"{name}.handin").write_bytes(sent("ann", made=made)[1])

    done = take_in(tmp_path, CLASS, TODAY)

    assert ([2], ["b.handin"]) == ([each.made for each in done.people], done.older)


def test_a_withdrawal_takes_all_out_and_a_replay_does_not_bring_it_back(tmp_path: Path) -> None:
    """What was handed in before stays out, also when its file comes again under another name."""
    _, content = sent("ann", made=1)
    tmp_path.joinpath("a.handin").write_bytes(content)
    take_in(tmp_path, CLASS, TODAY)
    empty = {name: [] for name in sent("ann")[0].answers}
    tmp_path.joinpath("b.handin").write_bytes(
        sent("ann", name="Ann", made=2, withdrawn=True, answers=empty)[1]
    )
    take_in(tmp_path, CLASS, TODAY)
    tmp_path.joinpath("c.handin").write_bytes(content)

    done = take_in(tmp_path, CLASS, TODAY)
    assert ["a.handin", "c.handin"] == done.withdrawn
    assert [(True, "")] == [(each.withdrawn, each.name) for each in done.people]
    assert [] == list((tmp_path / KEPT / "answers").rglob("*.parquet"))


def test_what_is_not_taken_is_named_and_the_rest_is_read(tmp_path: Path) -> None:
    """Junk, one of another class, one of 2 GB, a pipe, an altered one."""
    _, good = sent("ann")
    tmp_path.joinpath("good.handin").write_bytes(good)
    tmp_path.joinpath("junk.handin").write_bytes(b"\0" * 100)
    tmp_path.joinpath("altered.handin").write_bytes(good[:-1] + bytes([good[-1] ^ 1]))
    with tmp_path.joinpath("large.handin").open("wb") as opened:
        opened.truncate(2 << 30)
    os.mkfifo(tmp_path / "pipe.handin")

    done = take_in(tmp_path, CLASS, TODAY)

    refused = sorted(name for name, _ in done.refused)
    assert ["altered.handin", "junk.handin", "large.handin", "pipe.handin"] == refused
    assert 1 == len(done.people)


def test_without_the_key_what_is_new_waits(tmp_path: Path) -> None:
    """What was taken in before is read without it."""
    tmp_path.joinpath("a.handin").write_bytes(sent("ann")[1])
    take_in(tmp_path, CLASS, TODAY)
    tmp_path.joinpath("b.handin").write_bytes(sent("ben")[1])

    done = take_in(tmp_path, None, TODAY)

    assert (1, ["b.handin"]) == (len(done.people), done.waiting)


def test_what_was_passed_over_does_not_wait_for_the_key(tmp_path: Path) -> None:
    """Each look tells it, with the key or without; a second copy of the file that counts is nothing new."""
    for name, made in (("a", 1), ("b", 2), ("c", 2)):
        tmp_path.joinpath(f"{name}.handin").write_bytes(sent("ann", made=made)[1])
    tmp_path.joinpath("d.handin").write_bytes(tmp_path.joinpath("b.handin").read_bytes())

    looks = [take_in(tmp_path, seed, TODAY) for seed in (CLASS, None)]
    assert [(["a.handin", "c.handin"], [])] * 2 == [(done.older, done.waiting) for done in looks]


def test_two_looks_give_one_result(tmp_path: Path) -> None:
    """What was taken in isn't taken in again."""
    tmp_path.joinpath("a.handin").write_bytes(sent("ann")[1])
    first = take_in(tmp_path, CLASS, TODAY).people

    again = take_in(tmp_path, CLASS, TODAY)

    assert (first, first, []) == (again.people, people_of(tmp_path), again.older)


def test_one_from_the_future_is_refused(tmp_path: Path) -> None:
    """Nothing newer could replace it; a clock may be a day ahead."""
    for name, day in (("tomorrow", 25), ("later", 26)):
        made = int(datetime(2026, 11, day, 12, tzinfo=timezone.utc).timestamp() * 1000)
        tmp_path.joinpath(f"{name}.handin").write_bytes(sent(name[:3], made=made)[1])

    done = take_in(tmp_path, CLASS, TODAY)

    assert (1, ["later.handin"]) == (len(done.people), [name for name, _ in done.refused])
