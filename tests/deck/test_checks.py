"""The checks of a whole deck, each with what it finds and what it leaves alone."""

import pytest
from deck_kit import deck_of, said

LIMIT = "| Parameter | Maximum | Unit | When |\n| --- | --- | --- | --- |\n"


def two_files(folder, first, second, record="authority: Handbook"):
    """Findings of a deck with a limit in each of two files."""
    head = f"---\n{record}\n---\n\n"
    return deck_of(
        folder,
        deck=f"{head}# Engine\n\n{LIMIT}| {first} |\n",
        gear=f"# Landing gear\n\n{LIMIT}| {second} |\n",
    )[1]


def test_two_files_that_disagree(tmp_path):
    """What instructors fear most: at the later place, with both values and the first place."""
    (found,) = two_files(tmp_path, "Flap speed | 120 | KIAS |", "Flap speed | 115 | KIAS |")

    assert ("differs-elsewhere", "gear.md", 5, "warning") == (
        found.rule,
        found.place.file,
        found.place.line,
        found.severity,
    )
    assert "`Flap speed` maximum is `115 KIAS` here and `120 KIAS` in deck.md line 9" == found.message


def test_two_files_that_agree(tmp_path):
    """It is said twice, in whatever unit or notation."""
    same = two_files(tmp_path, "Flap load | 1,000 | kg |", "flap load | 1000 | kg |")

    assert ["duplicate-point"] == [found.rule for found in same]


@pytest.mark.parametrize(
    "subject",
    [
        "Pressure",
        "Oil pressure",
        "Temperature",
        "Fuel flow",
        "Load",
        "Oil temperature",
        "Current",
        "Operating voltage",
    ],
)
def test_bare_quantity_words_are_two_things(tmp_path, subject):
    """Oil pressure of the engine and of the gear's actuator."""
    assert [] == two_files(tmp_path, f"{subject} | 120 | psi |", f"{subject} | 115 | psi |")


def test_another_condition_is_another_point(tmp_path):
    """So are another kind and other aircraft."""
    assert [] == two_files(tmp_path, "Flap speed | 120 | KIAS |", "Flap speed | 115 | KIAS | Icing")


def flow(folder, *second):
    """Two procedures under one name in two files."""
    steps = "\n".join(f"{at}. {step}" for at, step in enumerate(second, 1))
    first = "1. Battery ON\n2. Pump ON\n3. Starter ON\n"
    return said(
        deck_of(folder, a=f"# Left\n\n## Cold start\n\n{first}", b=f"# Right\n\n## Cold start\n\n{steps}\n")[
            1
        ]
    )


def test_procedures_of_one_name(tmp_path):
    """They are compared where they share half their steps: `Start` may be the start of anything."""
    assert [] == flow(tmp_path, "Doors SHUT", "Lights OFF", "Covers ON")
    assert [("b.md", 5, "differs-elsewhere")] == flow(tmp_path, "Battery ON", "Starter ON", "Pump ON")
    assert [("b.md", 5, "duplicate-point")] == flow(tmp_path, "Battery ON", "Pump ON", "Starter ON")


def test_questions_that_lean_on_their_topic(tmp_path):
    """`What does it drive?` is another question in each chapter."""
    text = "# {0}\n\n## What does {1} drive?\n\n{2}\n"
    leaning = deck_of(
        tmp_path, a=text.format("Left", "it", "The pump"), b=text.format("Right", "it", "The fan")
    )[1]
    plain = deck_of(
        tmp_path, a=text.format("A", "belt 2", "The pump"), b=text.format("B", "belt 2", "The fan")
    )[1]

    assert ([], ["differs-elsewhere"]) == (leaning, [found.rule for found in plain])


def test_one_parameter_in_units_of_two_dimensions(tmp_path):
    """Under all its conditions, and in other files; both are paused."""
    one = f"---\nauthority: H\n---\n\n# Oil\n\n{LIMIT}| Oil | 90 | °C | Hot |\n| Oil | 60 | psi | Cold |\n"
    deck, rows = deck_of(tmp_path, one)

    assert ([("note.md", 10, "unit-mismatch")], ()) == (said(rows), deck.cards)
    (tmp_path / "note.md").unlink()
    files = two_files(tmp_path, "Strut pressure | 900 | psi | Cold", "Strut pressure | 9 | kg | Hot")
    assert [("gear.md", 5, "unit-mismatch")] == said(files)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("Load | 900 | kg |", "Load | 30 | A |"),
        ("Strut charge | 900 | psi |", "Strut charge | 62 | bar | Hot"),
        ("Vmo | 250 | KIAS | Low", "Vmo | 0.6 | Mach | High"),
        ("Seats | 9 | passengers |", "Seats | 9 | kg | Hot"),
        ("Bow strut | 90 | psi |", "Bow strut | 9 | kg |"),
    ],
)
def test_units_that_may_stand_beside_each_other(tmp_path, first, second):
    """Bare words, another unit of the dimension, a speed beside its Mach number, a count, a thing."""
    assert {"unit-mismatch", "differs-elsewhere"}.isdisjoint(
        found.rule for found in two_files(tmp_path, first, second)
    )


def test_a_matrix_stands_aside(tmp_path):
    """`Oil, psi` and `Oil, °C` name themselves."""
    table = "| Condition | Oil, psi | Oil, °C |\n| --- | --- | --- |\n| Takeoff | 60 to 90 | 10 to 110 |\n"
    _, findings = deck_of(tmp_path, f"---\nauthority: H\n---\n\n# Engine\n\n{table}")

    assert [] == findings


PROSE = "The {0} runs. Look at the {0}. Stop the {0}. Start the {0} again. Leave the {0}.\n"


@pytest.mark.parametrize(("rows", "told"), [(2, []), (3, ["undefined-abbreviation"])])
def test_capitals_inside_names_that_nobody_explains(tmp_path, rows, told):
    """Three points whose names hold them are as much as five uses in running text."""
    lines = "".join(f"| SWL of bar {at} | {at}00 kg |\n" for at in range(1, rows + 1))
    table = f"| Parameter | Maximum |\n| --- | --- |\n{lines}"
    _, findings = deck_of(tmp_path, deck=f"---\nauthority: H\n---\n\n# Hoists\n\n{table}")

    assert told == [said.rule for said in findings]


def test_an_abbreviation_never_explained(tmp_path):
    """Used five times in running text; at its first place."""
    _, findings = deck_of(tmp_path, "# Power\n\nText.\n\n" + PROSE.format("GCU"))

    (found,) = findings
    assert ("undefined-abbreviation", 5, "`GCU` is used 5 times and never explained") == (
        found.rule,
        found.place.line,
        found.message,
    )


@pytest.mark.parametrize(
    "text",
    [
        PROSE.format("GCU").replace("Leave the GCU.", ""),
        PROSE.format("NOT"),
        PROSE.format("ON"),
        PROSE.format("RPM"),
        PROSE.format("III"),
        PROSE.format("`GCU`"),
        PROSE.format("generator control unit (GCU)"),
        PROSE.format("GCU (generator control unit)"),
        PROSE.format("GCU")
        + "\n| Abbreviation | Meaning |\n| --- | --- |\n| GCU | Generator control unit |\n",
        PROSE.format("GCU") + "\n| Caption | Means |\n| --- | --- |\n| GCU | The unit has failed |\n",
        PROSE.format("GCU") + "\n| Selector | Position |\n| --- | --- |\n| Power | GCU |\n",
        "NEVER STOP THE GCU\n\n" * 6,
        "```\nGCU GCU GCU GCU GCU\n```\n",
    ],
)
def test_capitals_that_need_no_words(tmp_path, text):
    """Seldom used, stressed, a position, a unit, a numeral, code, explained, a caption, a shouted line."""
    _, findings = deck_of(tmp_path, f"# Power\n\n{text}")

    assert [] == said(findings, "undefined-abbreviation")


def test_a_subject_explains_nothing(tmp_path):
    """A limit of the ITT doesn't say what ITT is."""
    table = "\n| Parameter | Maximum | Unit | Source |\n| --- | --- | --- | --- |\n| ITT | 800 | °C | H 1 |\n"
    _, findings = deck_of(tmp_path, "# Power\n\n" + PROSE.format("ITT") + table)

    assert ["undefined-abbreviation"] == [found.rule for found in findings]


SETTING = "# Panel\n\n{}| Control | Position |\n| --- | --- |\n| {} | OPEN |\n| Fan | ON |\n"


@pytest.mark.parametrize(
    ("record", "kind", "rules"),
    [
        ("title: T", "limit", ["no-citation"]),
        ("authority: Handbook", "limit", []),
        ("authority: Handbook", "critical", ["no-citation"]),
        ("source: H 1", "critical", []),
        ("source: H 1", "limit", []),
        ("title: T", "plain", []),
    ],
)
def test_sources(tmp_path, record, kind, rules):
    """The authority cites the manual for limits; a critical point needs a place in it."""
    text = {
        "limit": f"# Engine\n\n{LIMIT}| ITT limit | 800 | °C | |\n",
        "critical": SETTING.format("", "**Bus tie**"),
        "plain": SETTING.format("", "Bus tie"),
    }[kind]

    assert rules == [found.rule for found in deck_of(tmp_path, f"---\n{record}\n---\n\n{text}")[1]]


def test_a_line_names_the_source(tmp_path):
    """`Source: …` under a heading holds for what is below."""
    assert [] == deck_of(tmp_path, SETTING.format("Source: H 3-2\n\n", "**Bus tie**"))[1]


@pytest.mark.parametrize(("words", "rules"), [(25, []), (26, ["overlong-answer"])])
def test_the_length_of_an_answer(tmp_path, words, rules):
    """About 25 words can be held."""
    text = f"# Why\n\n## Why is it so?\n\n{' '.join(['word'] * words)}\n"

    assert rules == [found.rule for found in deck_of(tmp_path, text)[1]]


def test_an_answer_that_no_store_keeps(tmp_path):
    """What is longer than the gate of a store lets through makes no card, and is told."""
    text = "# Why\n\n## Why is it so?\n\n" + ("many words " * 90 + "\n") * 1_100
    deck, findings = deck_of(tmp_path, text)

    assert (0, 1) == (len(deck.cards), len(deck.paused_points))
    assert [("overlong-answer", True)] == [(one.rule, "1 MiB" in one.message) for one in findings]


@pytest.mark.parametrize(("steps", "rules"), [(9, []), (10, ["overlong-flow"])])
def test_the_length_of_a_flow(tmp_path, steps, rules):
    """Nine steps can be held."""
    text = "# Start\n\n" + "".join(f"{at}. Switch {at} ON\n" for at in range(1, steps + 1))

    assert rules == [found.rule for found in deck_of(tmp_path, text)[1]]


@pytest.mark.parametrize(
    ("target", "there"),
    [
        ("here.md", True),
        ("here.md#start", True),
        ("my%20note.md", True),
        ("../deck/here.md", True),
        ("sub", True),
        ("#start", True),
        ("https://example.org/nowhere.md", True),
        ("mailto:a@example.org", True),
        ("nowhere.md", False),
        ("sub/here.md", False),
        ("nowhere.md?raw=1", False),
        ("x" * 300 + ".md", False),
    ],
)
def test_references(tmp_path, target, there):
    """Local targets only, from the note's own folder, percent signs read."""
    folder = tmp_path / "deck"
    (folder / "sub").mkdir(parents=True)
    (folder / "my note.md").write_text("# N\n")
    (folder / "here.md").write_text("# N\n")
    _, findings = deck_of(folder, start=f"# Start\n\nSee [it]({target}) and ![a picture]({target}).\n")

    assert (0 if there else 2) == len(said(findings, "broken-reference"))
