"""The checkride from the command line: plan, odds, a planned review, a mock oral."""

import io
import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from cli_kit import NOTE, recall

from recall.cli.bars import picture

PROSE = "\n## Why does the feeder come first?\n\nIt is the only tank that feeds the engine, always.\n"


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """A store with a small deck: four points and a question in prose."""
    note = tmp_path / "fuel.md"
    note.write_text(NOTE + PROSE, encoding="utf-8")
    path = tmp_path / "store.db"
    assert 0 == recall("load", note, store=path).code
    return path


def _ahead(store: Path, days: int) -> str:
    """A date so many days after the store's today."""
    first = recall("due", "--json", store=store).rows()[0]["date"]
    return (date.fromisoformat(first) + timedelta(days=days)).isoformat()


def test_a_plan_keeps_the_contract(store: Path) -> None:
    """The promised names; a day for each until the date; shares in their order; the odds as `odds` writes them."""
    on = _ahead(store, 3)
    [row] = recall("plan", "--on", on, "--minutes", "1", "--json", store=store).rows()

    assert ["on", "days", "expected", "daily", "nothing", "bound", "distance", "grid_error", "odds"] == list(
        row
    )
    assert [["date", "minutes", "reviews", "unasked"]] * 3 == [list(day) for day in row["days"]]
    assert (on, [_ahead(store, at) for at in range(3)]) == (row["on"], [day["date"] for day in row["days"]])
    assert 0 == row["nothing"] < row["expected"] <= row["bound"] <= 1
    assert all(0 < day["minutes"] <= 1 for day in row["days"])
    gained = (row["bound"] - row["expected"]) / (row["bound"] - row["nothing"])
    assert gained == pytest.approx(row["distance"])
    assert ["date", "pass", "low", "high", "days_of_history", "areas"] == list(row["odds"])


def test_a_plan_is_kept_and_shown_again(store: Path) -> None:
    """Without options it is planned anew from the state and the settings; `--try` keeps nothing."""
    on, other = _ahead(store, 3), _ahead(store, 9)
    recall("plan", "--on", on, "--minutes", "5", "--days-off", _ahead(store, 1), "--at", "14:00", store=store)
    tried = recall("plan", "--on", other, "--try", store=store)
    again = recall("plan", "--json", store=store).rows()[0]
    known = json.loads(recall("settings", "--json", store=store).out)

    assert "Not kept. To follow it, leave out --try." in tried.out and "Follow it: recall" not in tried.out
    assert (on, [False, True, False]) == (again["on"], [day["minutes"] == 0 for day in again["days"]])
    assert (on, "14:00", 5) == (known["checkride_on"], known["checkride_at"], known["checkride_minutes"])


def test_the_plan_screen_fits_eighty_columns_in_plain_letters(store: Path) -> None:
    """Headline, picture, table, limits, odds with their caution; nothing that ASCII hasn't but quoted notes."""
    ran = recall("plan", "--on", _ahead(store, 3), "--minutes", "20", store=store)

    assert 0 == ran.code
    assert ran.out.isascii()
    assert 80 >= max(map(len, ran.out.splitlines()))
    for words in (
        "3 days, 20 min a day",
        "with this plan",
        "no plan can bring more than",
        "with this plan (95 % interval",
        "Enough a day for recall:",
        "plan .",
        "daily order .",
        "nothing .",
        "to begin",
        "learned in the time",
        "two weeks after",
        "no day of history",
        "70 % is this program's own mark",
        "not for use in flight",
    ):
        assert words in " ".join(ran.out.split())


@pytest.mark.parametrize(
    "words",
    [
        ("plan",),
        ("plan", "--on", "2020-01-01"),
        ("plan", "--on", "2026-02-30"),
        ("plan", "--on", "tomorrow"),
        ("plan", "--on", "2999-01-01"),
        ("plan", "--on", "AHEAD", "--minutes", "0"),
        ("plan", "--on", "AHEAD", "--minutes", "nan"),
        ("plan", "--on", "AHEAD", "--at", "25:00"),
        ("plan", "--on", "AHEAD", "--topic", "Oil"),
        ("plan", "--on", "AHEAD", "--days-off", "sometimes"),
        ("odds", "--on", "2020-01-01"),
        ("review", "--for-checkride"),
        ("oral", "no-such-folder"),
    ],
    ids=" ".join,
)
def test_what_cannot_be_met_says_what_to_do(store: Path, words: tuple[str, ...]) -> None:
    """Exit 2, nothing on standard output but the first caution, what happened and help on standard error."""
    recall("review", store=store)  # the caution of first use
    ahead = _ahead(store, 3)
    ran = recall(*(ahead if word == "AHEAD" else word for word in words), store=store)

    assert (2, "") == (ran.code, ran.out)
    assert "help: " in ran.err
    assert "checkride_on" not in recall("events", store=store).out


def test_odds_keep_the_contract(store: Path) -> None:
    """The promised names, a topic being a list; nothing asked, nothing passed."""
    [row] = recall("odds", "--on", _ahead(store, 3), "--json", store=store).rows()

    assert {"date", "pass", "low", "high", "days_of_history", "areas"} == set(row)
    assert [{"topic": ["Fuel"], "questions": 9, "pass": 0.0}] == row["areas"]
    assert (0.0, 0.0, 0.0, 0) == (row["pass"], row["low"], row["high"], row["days_of_history"])


def test_odds_in_words(store: Path) -> None:
    """When, the rules and where they come from, the caution about little history; where nothing is learned, that is
    one sentence and no row of noughts."""
    out = " ".join(recall("odds", store=store).out.split())

    told = "09:00", "70 % to pass", "a critical point missed fails it", "no day of history"
    for words in (*told, "next to none, too little of it is known by then", "No chance yet in any area."):
        assert words in out
    assert " 0 %" not in out


def test_a_review_for_the_checkride_is_kept_as_one(store: Path) -> None:
    """It says what is left, asks by the plan, and its answers carry that mode."""
    recall("plan", "--on", _ahead(store, 3), "--minutes", "20", store=store)
    ran = recall("review", "--for-checkride", store=store, answers=["", "", ":stop"])
    modes = [event["mode"] for event in recall("events", store=store).rows() if event["type"] == "reviewed"]

    assert "3 days to the checkride; 20 min today." in ran.out
    assert modes and {"plan"} == set(modes)


def test_the_plan_chooses_the_topics_of_its_review(store: Path) -> None:
    """A topic beside it is refused."""
    recall("plan", "--on", _ahead(store, 3), store=store)

    assert 2 == recall("review", "--for-checkride", "--topic", "Fuel", store=store).code


def _events(store: Path) -> list[tuple[str, str, str]]:
    rows = [row for row in recall("events", store=store).rows() if row["type"] == "reviewed"]
    return [(row["mode"], row["marked_by"], row["given"]) for row in rows]


def test_an_oral_from_a_pipe(store: Path) -> None:
    """An answer a line, no feedback before the last; then the marks of prose; the result on one page."""
    answers = [":undo", *[line for _ in range(9) for line in ("", "")], "great", *["missed"] * 4]
    ran = recall("oral", store=store, answers=answers)
    asked, marking = ran.out.split("Now mark your answers in prose.")
    result = " ".join(marking[marking.index("Mock oral: 0 of 9") :].split())
    kept = _events(store)

    assert 0 == ran.code
    assert "There is nothing to undo in this sitting." in asked
    assert "Handbook" not in asked and "Not right" not in ran.out
    assert "`great` is no mark" in marking
    assert (9, {"oral"}) == (len(kept), {mode for mode, *_ in kept})
    for words in (
        "Predicted 0 %",
        "7 needed",
        "You said: I don't know",
        "Handbook 28-1; fuel.md line",
        "0 % of 9",
    ):
        assert words in result


def test_an_oral_whose_input_ends_keeps_what_was_answered(store: Path) -> None:
    """Typed answers are durable; unmarked prose doesn't count, and that is said."""
    ran = recall("oral", "--questions", "9", store=store, answers=[""] * 17)
    out = " ".join(ran.out.split())

    assert "in prose was not marked and doesn't count" in out
    assert "have no marked answer" in out
    assert 0 < len(_events(store)) < 9


def test_an_examiner_sees_the_answer_and_marks(store: Path) -> None:
    """A line is a mark; the review says who marked it."""
    ran = recall("oral", "--questions", "3", "--examiner", store=store, answers=["s", "instant", "m"])

    assert "Mock oral: 2 of 3 right" in ran.out
    assert [("oral", "examiner", "")] * 3 == _events(store)


def test_an_examiner_takes_a_mark_back(store: Path) -> None:
    """`:undo` puts the question again, from a pipe and at a terminal; what counts is the second mark."""
    answers = [":undo", "m", ":undo", "s", "oops", "m", ":undo", "s"]
    ran = recall("oral", "--questions", "2", "--examiner", "--json", store=store, answers=answers)

    assert "There is nothing to undo in this sitting." in ran.err and "`oops` is no mark" in ran.err
    assert (2, 2) == (ran.rows()[0]["right"], ran.rows()[0]["asked"])


def test_an_oral_as_json_is_one_object(store: Path) -> None:
    """Questions go to standard error; past orals are listed, oldest first."""
    recall("oral", "--questions", "2", "--examiner", store=store, answers=["s", "s"])
    ran = recall(
        "oral", "--questions", "4", "--examiner", "--json", store=store, answers=["s", "m", "s", "s"]
    )
    [row] = ran.rows()

    assert (4, 3, 3, False) == (row["asked"], row["right"], row["needed"], not row["areas"])
    assert [(2, 2), (4, 3)] == [(one["asked"], one["right"]) for one in row["past"]]
    assert 1 == len(row["missed"]) and row["missed"][0]["answer"]
    assert "1 of 4" in ran.err


def test_past_orals_stand_beside_the_odds(store: Path) -> None:
    """As a line over time."""
    recall("oral", "--questions", "2", "--examiner", store=store, answers=["s", "m"])

    assert "Mock orals so far: " in recall("odds", store=store).out


@pytest.mark.parametrize("values", [[1.0, 1.0], [0.97, 1.0], [0.0, 0.0]])
def test_the_scale_of_the_picture_ends_at_all(values: list[float]) -> None:
    """No share is above 100 % or below 0 %."""
    *_, told = picture([("plan", values)], ("today", "then"), 80)
    low, high = (int(share) for share in re.findall(r"(-?\d+) %", told))

    assert 0 <= low < high <= 100


@pytest.mark.parametrize(("encoding", "signs"), [("utf-8", "▁▂▃▄▅▆▇█"), ("ascii", ".:-=+*%#")])
def test_the_picture_reads_without_colour(encoding: str, signs: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each line stands behind its name, rises as its values do, on one scale, and says where it ends."""
    monkeypatch.setattr("sys.stdout", io.TextIOWrapper(io.BytesIO(), encoding=encoding))
    lines = [("plan", [0.1, 0.5, 0.9]), ("daily order", [0.1, 0.3, 0.5]), ("nothing", [0.1, 0.05, 0.0])]
    rows = list(picture(lines, ("today", "then"), 80))
    drawn = [row.split()[-3] for row in rows[:3]]
    heights = [[signs.index(sign) for sign in row] for row in drawn]

    assert ["plan", "daily order", "nothing"] == [row[:12].strip() for row in rows[:3]]
    assert ["90 %", "50 %", "0 %"] == [" ".join(row.split()[-2:]) for row in rows[:3]]
    assert [sorted(heights[0]), sorted(heights[1]), sorted(heights[2], reverse=True)] == heights
    assert [7, 4, 0] == [row[-1] for row in heights]
    assert 80 >= max(map(len, rows))
    assert rows[3].strip().startswith("today") and rows[3].endswith("then")
