"""What a person meets at the edges: names, counts, cautions and refusals, in plain words."""

import re
from pathlib import Path

import pytest
from cli_kit import NOTE, recall, refused

from recall.base.text import count, percent
from recall.cli.output import columns, wrapped
from recall.store.reports import WrongClock

SUPPLY = "# Ferry\n\n| From | Feeds |\n|---|---|\n| Port bus | Fan |\n| Mast bus | Radar, Fan |\n| Radar | Plot |\n"


# A card by its id or its words


def test_a_card_is_found_by_its_short_id_as_by_words_of_its_question(note: Path, store: Path) -> None:
    """`cards` shows an id that `history` takes; so are words that fit one card."""
    shown = re.search(
        r"Minimum feeder quantity.*?([0-9a-f]{8}): limit, minimum", recall("cards", note).out, re.S
    )
    assert shown is not None
    by_id = recall("history", shown[1], store=store)

    assert "Minimum feeder quantity" in by_id.out
    assert by_id.out == recall("history", "minimum FEEDER lb", store=store).out


def test_words_that_fit_several_cards_list_them_with_their_ids(store: Path) -> None:
    """Five at most, in the help line."""
    ran = recall("history", "feeder quantity", store=store)

    assert refused(ran)
    assert "fits 3 cards" in ran.err
    assert 3 == len(re.findall(r"\b[0-9a-f]{8} ", ran.err))


@pytest.mark.parametrize("words", ["", "  ", "landing light", "zzz"])
def test_words_that_fit_no_card_arerefused(store: Path, words: str) -> None:
    """Nothing is guessed."""
    assert refused(recall("history", words, store=store))
    assert refused(recall("remark", words, "mind it", store=store))


def test_history_says_the_standing_in_words_and_shows_the_remark(store: Path) -> None:
    """Where the card is, why it is due when it is, and the person's own words."""
    recall("remark", "meaning tru", "three letters", store=store)
    recall("review", "--kind", "abbreviation", store=store, answers=["x", "x", "x", "x", ":stop"])
    out = " ".join(recall("history", "What does TRU stand for?", store=store).out.split())

    assert "Standing: initial (not yet right on a later day)." in out
    assert "asked again when recall is about to fall below 90 %" in out
    assert "loaded revision" not in out  # this deck numbers none


def test_a_revision_in_the_history_is_named_as_one(tmp_path: Path) -> None:
    """`loaded revision 4`, not `loaded 4`."""
    (tmp_path / "fuel.md").write_text(f"---\nrevision: 4\n---\n\n{NOTE}", encoding="utf-8")
    recall("load", tmp_path / "fuel.md", store=tmp_path / "s.db")
    recall("remark", "minimum feeder quantity, in lb", "four psi", store=tmp_path / "s.db")
    out = recall("history", "minimum feeder quantity, in lb", store=tmp_path / "s.db").out

    assert "loaded revision 4" in out
    assert "Your remark: four psi" in out
    assert "Standing: unasked." in out


# Loading


def test_a_load_says_what_the_answers_were_and_are(note: Path, store: Path) -> None:
    """Critical points first."""
    note.write_text(NOTE.replace("| 50 |", "| 55 |").replace("| 150 |", "| 160 |"), encoding="utf-8")
    lines = [line.strip() for line in recall("load", note, store=store).out.splitlines()]

    assert "Loaded fuel: 4 points (2 changed), 8 cards." == lines[0]
    assert ["was 150 lb, now 160 lb", "was 50 °C, now 55 °C"] == [line.split("? ")[1] for line in lines[1:]]


def test_a_load_of_many_changes_tells_eight(tmp_path: Path) -> None:
    """The rest is counted."""
    note = tmp_path / "many.md"
    for words in ("alpha", "bravo"):
        rows = "".join(f"| {chr(65 + n)}{chr(65 + n)}X | {words} {n} |\n" for n in range(11))
        note.write_text(f"# Words\n\n| Abbreviation | Meaning |\n|---|---|\n{rows}", encoding="utf-8")
        ran = recall("load", note, "--replace", store=tmp_path / "s.db")

    assert (8, 1) == (ran.out.count(" was "), ran.out.count("and 3 more: `recall changes"))


def test_errors_that_stand_are_counted_and_end_a_load_with_one(tmp_path: Path) -> None:
    """What is good is loaded all the same; a second load of the same notes says it again."""
    note = tmp_path / "fuel.md"
    note.write_text(
        NOTE + "\n| Parameter | Minimum | Maximum | Unit |\n|---|---|---|---|\n| Oil | 90 | 20 | psi |\n"
    )
    for _ in range(2):
        ran = recall("load", note, store=tmp_path / "s.db")

        assert 1 == ran.code
        assert "4 points" in ran.out
        assert f"1 error in the notes: `recall lint {note}` shows it." in " ".join(ran.out.split())
    assert "1 error in the notes" in recall("review", note, store=tmp_path / "s.db").out


UNREAD = (
    "cards {}",
    "cards {} --unread",
    "cards {} --json",
    "supplies {}",
    "changes {} {}",
    "changes {}/deck.md {}",
)
UNREAD += tuple(f"export {what} {{}}" for what in ("sheet", "cards", "table", "questions", "samples"))


@pytest.mark.parametrize("words", UNREAD)
def test_a_note_that_cannot_be_read_is_told_whatever_is_made_of_the_rest(words: str, tmp_path: Path) -> None:
    """It isn't UTF-8: what the other notes hold is shown or written, and the exit code is 1, as for a load."""
    deck, out = tmp_path / "deck", tmp_path / "out"
    deck.mkdir()
    supplies = "| From | Feeds |\n|---|---|\n| Mast bus | Radar |\n"
    (deck / "deck.md").write_text(f"{NOTE}\n{supplies}", encoding="utf-8")
    (deck / "latin.md").write_bytes(b"# Temp\xe9rature\n")
    ran = recall(*words.format(deck, deck).split(), *(("--out", out) if "export" in words else ()))

    assert 1 == ran.code
    assert f"1 error in the notes of `{deck}`" in ran.err
    assert ran.out or out.exists()


@pytest.mark.parametrize("content", [b"", b"# Only words\n\nNothing to ask.\n", bytes(range(256)) * 9])
@pytest.mark.parametrize("command", ["load", "review"])
def test_notes_without_a_point_are_refused_and_nothing_is_recorded(
    tmp_path: Path, content: bytes, command: str
) -> None:
    """An empty one, prose, a binary file."""
    note, store = tmp_path / "note.md", tmp_path / "s.db"
    note.write_bytes(content)
    ran = recall(command, note, store=store)

    assert 2 == ran.code
    assert "has no points in it" in ran.err
    shows = "lint" if content[:2] == b"\0\1" else "cards --unread"
    assert f"`recall {shows} {note}`" in ran.err
    assert "deck loaded" not in recall("events", store=store).out


# Settings, supplies


@pytest.mark.parametrize(
    ("mine", "said"), [("104", "3 of 6 loaded cards apply"), ("900", "Caution: none of the 6")]
)
def test_an_aircraft_that_is_set_says_how_many_cards_apply(tmp_path: Path, mine: str, said: str) -> None:
    """None at all is a caution."""
    rows = "| Flap speed | 120 | KIAS | 101–112 |\n| Flap speed | 125 | KIAS | 113–120 |\n"
    note = tmp_path / "flaps.md"
    note.write_text(f"# F\n\n| Parameter | Maximum | Unit | Applies to |\n|---|---|---|---|\n{rows}", "utf-8")
    recall("load", note, store=tmp_path / "s.db")
    total = len(recall("cards", note, "--json").rows())

    assert (
        said.replace("3 of 6", f"{total // 2} of {total}").replace("the 6", f"the {total}")
        in recall("settings", "aircraft", mine, store=tmp_path / "s.db").out
    )


def test_several_failures_are_worked_out_together(tmp_path: Path) -> None:
    """What each alone leaves alive, both together kill."""
    note = tmp_path / "ferry.md"
    note.write_text(SUPPLY)
    one = recall("supplies", note, "--lost", "port bus", "--json").rows()
    both = recall("supplies", note, "--lost", "port bus", "--lost", "Mast bus", "--json").rows()

    assert ([], {"Fan": "Mast bus"}) == (one[0]["lost"], one[0]["still"])
    assert ("Port bus and Mast bus", ["Fan", "Radar", "Plot"]) == (both[0]["failed"], both[0]["lost"])
    assert (
        "Port bus and Mast bus are dead"
        in recall("supplies", note, "--lost", "port bus", "--lost", "mast bus").out
    )


def test_a_drawing_of_a_failure_marks_the_dead_by_a_word(tmp_path: Path) -> None:
    """Never by colour alone."""
    note, svg = tmp_path / "ferry.md", tmp_path / "ferry.svg"
    note.write_text(SUPPLY)

    assert 0 == recall("supplies", note, "--lost", "Mast bus", "--svg", svg).code
    drawn = svg.read_text(encoding="utf-8")
    assert [True, True, True, False] == [
        name in drawn for name in ("Mast bus [failed]", "Radar [dead]", "Plot [dead]", "Fan [dead]")
    ]


def test_a_failure_of_nothing_isrefused(tmp_path: Path) -> None:
    """An empty name names nothing."""
    (tmp_path / "ferry.md").write_text(SUPPLY)

    assert refused(recall("supplies", tmp_path / "ferry.md", "--lost", ""))


# What is shown


def test_a_table_wraps_what_it_has_no_room_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """No text is cut; a number stays beside its unit, a row below its system keeps its indent."""
    monkeypatch.setenv("COLUMNS", "40")
    rows = [("Electrical / Batteries / Limits", "1"), ("  Starter: 400 A for 30 s, then nothing", "22")]
    lines = columns(rows, ("topic", "n"), right=(1,))

    assert [
        "topic                                  n",
        "Electrical / Batteries / Limits        1",
        "  Starter: 400 A for 30 s, then       22",
        "  nothing",
    ] == lines


def test_a_topic_that_is_none_is_answered_with_those_like_it(store: Path) -> None:
    """Headings that are spelt nearly so; else those there are."""
    near = recall("review", "--topic", "Fule", store=store, answers=[])
    far = recall("review", "--topic", "zzz", store=store, answers=[])

    assert (2, True) == (near.code, "topics like it are: `Fuel`" in near.err)
    assert (2, True) == (far.code, "topics are: Fuel" in far.err)


@pytest.mark.parametrize(
    ("own", "mine", "strange"),
    [("1–20", "104", True), ("1–20", "21, 12", False), ("1–20", "2B", False), ("", "104", False)],
)
def test_a_serial_number_that_no_variant_has_is_cautioned(
    tmp_path: Path, own: str, mine: str, strange: bool
) -> None:
    """As a variant is that isn't declared; where one has no serials, any number may be its."""
    note, store = tmp_path / "fuel.md", tmp_path / "s.db"
    note.write_text(f"---\naircraft:\n  2A: {own}\n  2B: 21–40\n---\n{NOTE}", encoding="utf-8")
    recall("load", note, store=store)
    said = recall("settings", "aircraft", mine, store=store).out

    assert strange == ("Caution: no loaded deck declares 104" in said)


def test_a_number_below_nought_is_a_value_and_no_option(store: Path) -> None:
    """It is refused for what it is; an aim that isn't set says what holds instead."""
    ran = recall("settings", "minutes", "-5", store=store)

    assert (2, True) == (ran.code, "`-5` is out of range for `minutes`" in ran.err)
    assert "odds with a blueprint" in recall("settings", "checkride_for", store=store).out


def test_what_is_no_command_and_no_mark_is_said(tmp_path: Path) -> None:
    """Before the help; an empty line is named as one."""
    note = tmp_path / "why.md"
    note.write_text("# Fuel\n\n## Why is the valve shut?\n\nIt keeps vapour out.\n", encoding="utf-8")
    ran = recall("review", note, store=tmp_path / "s.db", answers=[":foo", "vapour", "", ":stop"])

    assert "`:foo` is no command." in ran.out
    assert "An empty line is no mark." in ran.out
    assert "minutes can't be `0`" in recall("review", "--minutes", "0", store=tmp_path / "s.db").err


def test_where_nothing_is_in_force_no_topics_are_listed(tmp_path: Path) -> None:
    """A list without an entry would say nothing."""
    note, store = tmp_path / "fuel.md", tmp_path / "s.db"
    note.write_text(f"---\nrevision: 1\neffective: 2190-01-01\n---\n{NOTE}", encoding="utf-8")
    recall("load", note, store=store)
    ran = recall("review", "--topic", "Fuel", store=store)

    assert (2, True) == (ran.code, "help: nothing that can be asked now has a topic" in ran.err)


def test_a_topic_with_few_answers_is_not_called_weak(store: Path) -> None:
    """It is shown, and that little is known of it is said."""
    recall("review", store=store, answers=["", "", ":stop"])
    out = recall("weak", store=store).out

    assert "little known" in out
    assert "Little is known of 1 topic with fewer than 5 answers" in " ".join(out.split())


def test_one_is_not_many() -> None:
    """Nouns and per cents are written one way."""
    assert ["1 card", "0 cards", "2 cards", "1 day off", "2 days off"] == [
        count(1, "card"),
        count(0, "card"),
        count(2, "card"),
        count(1, "day off", "days off"),
        count(2, "day off", "days off"),
    ]
    assert ["79 %", "0 %", "98.6 %"] == [percent(0.79), percent(0.0), percent(0.986, 1)]


def test_due_says_what_is_not_counted_yet(store: Path) -> None:
    """Cards begun today come back on a day that the table doesn't know yet."""
    assert "isn't counted yet" in " ".join(recall("due", store=store).out.split())


def test_wrong_clocks_are_told_in_days_and_together() -> None:
    """Runs that were wrong by as much stand in one line."""
    from datetime import datetime, timezone

    from recall.cli.commands.doctor import _alike

    now = datetime(2026, 5, 1, tzinfo=timezone.utc)
    clocks = [
        WrongClock(one, -seconds, 0, 3, now)
        for one, seconds in (("a", 183_600), ("b", 183_610), ("c", -7_200))
    ]

    assert [
        ("the clocks of 2 runs were 2 days 3 hours ahead (6 events)", ["a", "b"]),
        ("the clock of a run was 2 hours behind (3 events)", ["c"]),
    ] == list(_alike(clocks))


def test_after_which_answers_a_review_waits_is_one_of_two(store: Path) -> None:
    """`wrong` or `all`; anything else is refused with what to write."""
    assert 0 == recall("settings", "wait-after", "all", store=store).code
    assert refused(recall("settings", "wait-after", "never", store=store))


# What is left unsaid


def test_no_command_at_all_gets_the_help() -> None:
    """As asked for, and no error."""
    assert recall("--help") == recall()


def test_a_file_that_is_named_as_a_pdf_is_one(tmp_path: Path, note: Path) -> None:
    """A format isn't asked for twice."""
    out = tmp_path / "sheet.pdf"
    recall("export", "sheet", note, "--out", out)

    assert out.read_bytes().startswith(b"%PDF-")


def test_what_is_said_breaks_no_amount_and_no_command() -> None:
    """A number stays beside its unit, and what is typed is on one line, however long."""
    said = wrapped(
        "It has 400 A for 30 s: `recall lint a/b c/d` says why, as does 21 % of it.", 24, "  ", "> "
    )

    assert [
        "> It has 400 A for 30 s:",
        "  `recall lint a/b c/d`",
        "  says why, as does 21 %",
        "  of it.",
    ] == said
