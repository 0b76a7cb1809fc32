"""What a trainee hands in is what they answered of one deck, and nothing else."""

from pathlib import Path

import pytest
from cli_kit import recall, refused

from recall.base.clock import SystemClock
from recall.cohort.handin import HandIn, unseal
from recall.publish.sign import seed_of
from recall.schedule import DEFAULT
from recall.store import Store


def handed(store: Path, key: Path, out: Path, *more: str) -> tuple[HandIn, str]:
    """Hand in, and open what came; with what was said of it."""
    ran = recall(
        "export",
        "hand-in",
        "--deck",
        "boat",
        "--for",
        key.parent / "class.pub",
        "--out",
        out,
        *more,
        store=store,
    )
    assert (0, "") == (ran.code, ran.out)
    return unseal(out.read_bytes(), seed_of(key)), ran.err


def test_answers_go_out_without_words_and_name(store: Path, key: Path, tmp_path: Path) -> None:
    """Right, wrong and day of each; what stays is told."""
    made, said = handed(store, key, tmp_path / "me.handin")

    assert (3, [1, 0, 0], (), "") == (
        made.count,
        sorted(made.answers["right"], reverse=True),
        made.given,
        made.name,
    )
    assert "Stays with you" in said
    assert "what you typed (--with-answers hands it in)" in said


def test_words_and_name_go_out_when_asked_for(store: Path, key: Path, tmp_path: Path) -> None:
    """Both by their own option."""
    made, _ = handed(store, key, tmp_path / "me.handin", "--with-answers", "--name", "Ada")

    assert (("0.6", "24", "7"), "Ada") == (tuple(sorted(made.given)), made.name)


@pytest.mark.parametrize("name", ["A\x1b[31mda", "x" * 201])
def test_a_name_that_no_class_takes_is_refused(store: Path, key: Path, tmp_path: Path, name: str) -> None:
    """Here, where another can be named, and not when the class is read."""
    out, to = tmp_path / "me.handin", key.parent / "class.pub"
    ran = recall(
        "export", "hand-in", "--deck", "boat", "--for", to, "--name", name, "--out", out, store=store
    )

    assert refused(ran)
    assert "a name is a line of at most 200 characters" in ran.err
    assert not out.exists()


def test_no_id_of_an_event_or_a_machine_goes_out(store: Path, key: Path, tmp_path: Path) -> None:
    """Two classes could compare them."""
    made, _ = handed(store, key, tmp_path / "me.handin", "--with-answers")
    written = repr(made)

    for event in recall("events", store=store).out.splitlines():
        assert event[7:45] not in written


def test_an_undone_answer_stays(store: Path, key: Path, tmp_path: Path) -> None:
    """It never was."""
    recall("undo", store=store)

    made, _ = handed(store, key, tmp_path / "me.handin")

    assert 2 == made.count


def test_a_second_device_is_the_same_trainee(store: Path, key: Path, tmp_path: Path) -> None:
    """Its store, merged from the first, has the same pseudonym."""
    first, _ = handed(store, key, tmp_path / "me.handin")
    other = tmp_path / "tablet.db"
    recall("merge", store, "--same-person", store=other)

    second, _ = handed(other, key, tmp_path / "tablet.handin")

    assert (first.person, first.answers) == (second.person, second.answers)


def test_a_withdrawal_holds_no_answer(store: Path, key: Path, tmp_path: Path) -> None:
    """It asks for those of before to be taken out."""
    made, said = handed(store, key, tmp_path / "me.handin", "--withdraw")

    assert (True, 0) == (made.withdrawn, made.count)
    assert "take out" in said


@pytest.mark.parametrize("words", [("--for", "nobody.pub"), ("--for", "0" * 63), ()])
def test_a_hand_in_for_nobody_is_refused(store: Path, words: tuple[str, ...]) -> None:
    """There must be a class key."""
    assert refused(recall("export", "hand-in", "--deck", "boat", *words, store=store))


def test_a_deck_that_is_not_loaded_is_refused(store: Path, key: Path, tmp_path: Path) -> None:
    """Those that are are named."""
    ran = recall("export", "hand-in", "--deck", "ship", "--for", tmp_path / "class.pub", store=store)

    assert refused(ran)
    assert "boat" in ran.err


def test_a_memory_model_of_ones_own_goes_along_with_a_name_alone(
    store: Path, key: Path, tmp_path: Path
) -> None:
    """Its figures are nobody else's, so two classes could tell a person by them."""
    with Store.open(store, SystemClock()) as opened, opened.writing():
        opened.db.execute(
            "INSERT OR REPLACE INTO state VALUES ('parameters', ?)", [str(list(DEFAULT.weights))]
        )

    (bare, stays), (named, _) = (
        handed(store, key, tmp_path / "me.handin", *more) for more in ((), ("--name", "Ada"))
    )

    assert ((), DEFAULT.weights) == (bare.parameters, named.parameters)
    assert "your own memory's figures" in stays
