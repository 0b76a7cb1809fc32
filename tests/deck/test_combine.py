"""Points of one key: joined, doubled or in conflict; and what their aircraft have to do with it."""

import pytest
from deck_kit import deck_of, said

AUTHORITY = "---\nauthority: Handbook\n---\n\n"


def limits(*rows, headers="Parameter | Maximum | Unit | When | Applies to", topic="Battery"):
    """A note with a table of limits whose first row stands in line 9."""
    cut = "|".join("---" for _ in headers.split("|"))
    lines = "".join(f"| {row} |\n" for row in (headers, cut, *rows))
    return f"{AUTHORITY}# {topic}\n\n{lines}"


def test_two_answers_to_one_question_conflict(tmp_path):
    """At the later place, naming the first; neither is asked."""
    deck, findings = deck_of(
        tmp_path, limits("Minimum voltage | 22 | V | Start |", "Minimum voltage | 24 | V | Start |")
    )

    (found,) = findings
    assert ("conflicting-points", 10) == (found.rule, found.place.line)
    assert "`24 V` here" in found.message
    assert "`22 V` in note.md line 9" in found.message
    assert ((), 1) == (deck.cards, len(deck.paused_points))


def test_applies_to_parts_a_conflict(tmp_path):
    """22 V or 24 V, each for its aircraft, is no conflict; where serials overlap, it is."""
    _, apart = deck_of(
        tmp_path, limits("Voltage | 22 | V | Start | 101–112", "Voltage | 24 | V | Start | 113–160")
    )
    _, over = deck_of(
        tmp_path, limits("Voltage | 22 | V | Start | 101–113", "Voltage | 24 | V | Start | 113–160")
    )
    _, blank = deck_of(tmp_path, limits("Voltage | 22 | V | Start |", "Voltage | 24 | V | Start | 113–160"))

    assert ([], ["conflicting-points"], ["conflicting-points"]) == (
        apart,
        [found.rule for found in over],
        [found.rule for found in blank],
    )


@pytest.mark.parametrize(
    "second",
    ["Flap speed | 120 | KIAS | |", "**flap  speed.** | 120 | KIAS | |", "The flap speed | 120 | KIAS | |"],
)
def test_the_same_said_twice(tmp_path, second):
    """Case, blanks, markup, a stop and an article make no other point; one of the two is asked."""
    deck, findings = deck_of(tmp_path, limits("Flap speed | 120 | KIAS | |", second))

    assert [("note.md", 10, "duplicate-point")] == [one for one in said(findings) if one[2] != "no-citation"]
    assert 1 == len({card.point for card in deck.cards})


def test_a_blank_condition_and_a_filled_one_are_two(tmp_path):
    """Both are asked."""
    deck, findings = deck_of(
        tmp_path, limits("Flap speed | 120 | KIAS | |", "Flap speed | 110 | KIAS | Icing |")
    )

    assert ([], 2) == (findings, len({card.point for card in deck.cards}))


def test_topics_are_part_of_the_key(tmp_path):
    """`Temperature` under Battery and under Engine oil are two."""
    table = "| Parameter | Maximum | Unit |\n| --- | --- | --- |\n| Temperature | {} | °C |\n\n"
    text = f"{AUTHORITY}# Battery\n\n{table.format(60)}# Engine oil\n\n{table.format(110)}"
    deck, findings = deck_of(tmp_path, text)

    assert ([], 2) == (findings, len({card.point for card in deck.cards}))


def test_a_ladder_of_times_is_one_point(tmp_path):
    """Rows that differ in `For`: the answer is all pairs, no conflict."""
    rows = ("ITT | 870 | °C | 20 s", "ITT | 850 | °C | 5 min", "ITT | 830 | °C |")
    deck, findings = deck_of(tmp_path, limits(*rows, headers="Parameter | Maximum | Unit | For"))

    assert ([], 1) == (findings, len({card.point for card in deck.cards}))
    assert 3 == max(len(card.answer.texts) for card in deck.cards)


def test_answers_that_are_sets_are_joined(tmp_path):
    """Several inhibits of one function, several effects of one failure."""
    text = (
        "# Fuel\n\n| Function | Inhibited when |\n| --- | --- |\n| Dump | Flaps down |\n| Dump | Below 5,000 ft |\n\n"
        "| If | Then |\n| --- | --- |\n| Pump 1 fails | Low pressure light |\n| Pump 1 fails | Crossfeed opens |\n"
    )
    deck, findings = deck_of(tmp_path, text)

    assert [] == findings
    assert {("Flaps down", "Below 5,000 ft"), ("Low pressure light", "Crossfeed opens")} == {
        card.answer.texts for card in deck.cards if card.aspect in ("inhibited-by", "effect")
    }


def test_two_meanings_are_said_once(tmp_path):
    """Across the rows of a table, and across two files of one topic."""
    table = "| Abbreviation | Meaning |\n| --- | --- |\n"
    one = f"# Abbreviations\n\n{table}| OAT | Outside air temperature |\n| OAT | Optional anti-ice test |\n"
    (tmp_path / "one").mkdir()
    (tmp_path / "two").mkdir()
    _, rows = deck_of(tmp_path / "one", one)
    _, files = deck_of(
        tmp_path / "two",
        a=f"# Abbreviations\n\n{table}| OAT | Outside air temperature |\n",
        b=f"# Abbreviations\n\n{table}| OAT | Optional anti-ice test |\n",
    )

    assert [("note.md", 6, "ambiguous-abbreviation")] == said(rows)
    assert [("b.md", 5, "ambiguous-abbreviation")] == said(files)


def test_abbreviations_keep_their_case(tmp_path):
    """`Vc` and `vC` are two."""
    deck, _ = deck_of(
        tmp_path,
        "# Speeds\n\n| Abbreviation | Meaning |\n| --- | --- |\n| Vc | Cruise speed |\n| vC | Climb speed |\n",
    )

    assert 2 == len({card.point for card in deck.cards})


def ids(*rows):
    """A table of settings with ids, the first row in line 5."""
    lines = "".join(f"| {row} |\n" for row in rows)
    return f"# Panel\n\n| Control | Position | Id |\n| --- | --- | --- |\n{lines}"


def test_an_id_given_twice(tmp_path):
    """Both points are paused: nobody can tell whose history is whose."""
    deck, findings = deck_of(tmp_path, ids("Bus tie | OPEN | a", "Fan | ON | b", "Beacon | ON | a"))

    assert ([("note.md", 7, "bad-id")], ["Fan"]) == (said(findings), [card.subject for card in deck.cards])


def test_an_id_given_twice_to_one_kind_is_never_joined(tmp_path):
    """Two functions of one id aren't one function."""
    rows = "| Dump | Flaps down | a |\n| Jettison | Gear down | a |\n"
    deck, findings = deck_of(
        tmp_path, f"# Fuel\n\n| Function | Inhibited when | Id |\n| --- | --- | --- |\n{rows}"
    )

    assert ((), ["bad-id"]) == (deck.cards, [found.rule for found in findings])


@pytest.mark.parametrize("name", ["bus tie", "bus.tie", "büs", "#bus", "a/b"])
def test_a_malformed_id(tmp_path, name):
    """Letters, digits, `-` and `_` only."""
    deck, findings = deck_of(tmp_path, ids(f"Bus tie | OPEN | {name}"))

    assert ((), [("note.md", 5, "bad-id")]) == (deck.cards, said(findings))


def test_ids_of_two_headings(tmp_path):
    """`{#id}` twice is said at the second heading's point."""
    text = "# Start {#go}\n\n1. Battery ON\n2. Fuel ON\n\n# Stop {#go}\n\n1. Fuel OFF\n2. Battery OFF\n"
    deck, findings = deck_of(tmp_path, text)

    assert ((), [("note.md", 8, "bad-id")]) == (deck.cards, said(findings))


def test_an_id_keeps_the_history_of_a_renamed_subject(tmp_path):
    """Subject, topic and condition aren't in the key then; the id and the kind are."""
    one, _ = deck_of(tmp_path, ids("Bus tie | OPEN | tie"))
    two, _ = deck_of(tmp_path, ids("Tie of the buses | OPEN | tie").replace("Panel", "Overhead"))

    assert [card.id for card in one.cards] == [card.id for card in two.cards]


COURSE = (10, 10, 90, 45, 50, 30)
"""Ground hours of a flight engineer course, 14 CFR part 63, appendix C; one printed copy shows 80 for the 30."""


def test_hours_that_two_copies_give_differently(tmp_path):
    """The hours sum to 235 in one copy and not in the other: the subject at odds is found, and only that."""
    subjects = (
        "Regulations",
        "Flight theory",
        "Airframe course",
        "Engine course",
        "Normal course",
        "Emergency course",
    )
    rows = "".join(f"| {subject} | {{}} | hours |\n" for subject in subjects)
    table = f"\n\n| Parameter | Minimum | Unit |\n| --- | --- | --- |\n{rows}"
    _, findings = deck_of(
        tmp_path,
        deck=f"{AUTHORITY}# Course{table.format(*COURSE)}",
        print=f"# Copy{table.format(*COURSE[:-1], 80)}",
    )

    assert 235 == sum(COURSE)
    assert {("print.md", 10, "differs-elsewhere")} == set(said(findings, "differs-elsewhere"))


def test_batteries_of_two_manuals(tmp_path):
    """TM 1-1510-224-10 wants 22 V before a start, TM 55-1510-220-10 wants 24 V: a conflict, until the aircraft
    are told apart."""
    rows = ("Battery voltage | 22 | V | Start | {}", "Battery voltage | 24 | V | Start | {}")
    both = [row.format("") for row in rows]
    apart = [row.format(model) for row, model in zip(rows, ("Variant N", "Variant D"), strict=True)]

    assert ["conflicting-points"] == [found.rule for found in deck_of(tmp_path, limits(*both))[1]]
    assert [] == deck_of(tmp_path, limits(*apart))[1]
