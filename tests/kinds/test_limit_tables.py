"""Random tables of limits, written in many notations, make exactly the points they were made from."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import takewhile

from hypothesis import given, settings
from hypothesis import strategies as st
from limit_kit import read_limits

from recall.kinds.limits.headers import HEADERS
from recall.quantity import canonical, read_cell

UNITS = ("°C", "psi", "KIAS", "%", "rpm", "V", "A", "ft", "kg", "US gal", "s")
NAMES = ("Alpha", "Bravo", "Charlie", "Delta", "Echo", "Foxtrot", "Golf", "Hotel", "India", "Juliett")
CONDITIONS = ("", "Takeoff", "In flight", "Flaps 15", "Below 10,000 ft", "Engine running, bleed on")


def grouped(number: Decimal) -> str:
    """A number with commas between its groups."""
    return f"{number:,}".replace("-", "\u2212")


@dataclass(frozen=True)
class Row:
    """A limit as it was meant, and how its numbers are written."""

    name: str
    unit: str
    low: Decimal | None
    high: Decimal | None
    condition: str
    style: str

    def write(self, number: Decimal | None) -> str:
        """One cell."""
        if number is None:
            return ""
        said = grouped(number) if self.style == "grouped" else str(number)
        return said + {"glued": self.unit, "spaced": f" {self.unit}", "grouped": f" {self.unit}"}.get(
            self.style, ""
        )

    @property
    def meant(self) -> dict[str, str]:
        """Aspect → normal form of its answer."""
        said = {"minimum": ("at least", self.low), "maximum": ("at most", self.high)}
        return {
            aspect: canonical(read_cell(f"{word} {number} {self.unit}"))  # type: ignore[arg-type]
            for aspect, (word, number) in said.items()
            if number is not None
        }


NUMBERS = st.decimals(min_value=1, max_value=40000, places=0) | st.decimals(
    min_value=1, max_value=99, places=1
)


@st.composite
def rows(draw: st.DrawFn) -> list[Row]:
    """Rows of different names."""
    made = []
    for name in draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=6, unique=True)):
        low, high = sorted((draw(NUMBERS), draw(NUMBERS)))
        kept = draw(st.sampled_from(("both", "low", "high")))
        made.append(
            Row(
                name,
                draw(st.sampled_from(UNITS)),
                low if kept != "high" else None,
                high if kept != "low" else None,
                draw(st.sampled_from(CONDITIONS)),
                draw(st.sampled_from(("glued", "spaced", "grouped", "column"))),
            )
        )
    return made


def note(headers: Sequence[str], lines: Sequence[Sequence[str]]) -> str:
    """A note with one table."""
    written = ["| " + " | ".join(cells) + " |" for cells in (headers, ["---"] * len(headers), *lines)]
    return "# Limits\n\nSource: Handbook 2\n\n" + "\n".join(written) + "\n"


def asked(text: str) -> dict[tuple[str, str, str], dict[str, str]]:
    """Subject, condition and time → aspect → normal form of the answer, from the cards' own data."""
    found: dict[tuple[str, str, str], dict[str, str]] = {}
    points, cards, findings = read_limits(text)

    assert [] == findings
    held = {(point.subject, point.condition): point.wording.get("held", "") for point in points}
    for card in cards:
        if card.answer.form == "number" and card.aspect != "duration":
            key = (card.subject, card.condition, held[card.subject, card.condition])
            found.setdefault(key, {})[card.aspect] = canonical(card.answer.amount)
    return found


@given(rows(), st.permutations(range(5)))
@settings(max_examples=80)
def test_a_table_makes_its_points(made: list[Row], order: list[int]) -> None:
    """Whatever the order of columns and the notation of numbers, each limit is asked as it was meant."""
    headers = ["Parameter", "Min", "Max", "Unit", "When"]
    lines = [
        [
            row.name,
            row.write(row.low),
            row.write(row.high),
            row.unit if row.style == "column" else "",
            row.condition,
        ]
        for row in made
    ]
    text = note([headers[at] for at in order], [[line[at] for at in order] for line in lines])

    assert {(row.name, row.condition, ""): row.meant for row in made} == asked(text)


@given(rows())
@settings(max_examples=60)
def test_one_cell_says_what_two_columns_say(made: list[Row]) -> None:
    """A range or a comparison under Limit is the same minimum and maximum."""

    def cell(row: Row) -> str:
        if row.low is not None and row.high is not None:
            return f"{row.low} to {row.high} {row.unit}"
        return f"min {row.low} {row.unit}" if row.low is not None else f"{row.high} {row.unit} max"

    text = note(["Item", "Limit", "Condition"], [[row.name, cell(row), row.condition] for row in made])

    assert {(row.name, row.condition, ""): row.meant for row in made} == asked(text)


@given(
    rows(), st.lists(st.sampled_from(("Start", "Idle", "Climb (5 min)")), min_size=1, max_size=3, unique=True)
)
@settings(max_examples=60)
def test_a_matrix_makes_a_point_of_each_cell(made: list[Row], conditions: list[str]) -> None:
    """Rows are conditions, with their time in brackets; columns are quantities with their unit."""
    headers = ["Condition", *(f"{row.name}, {row.unit}" for row in made)]
    lines = [
        [
            condition,
            *(
                f"{row.low} to {row.high}" if row.low is not None and row.high is not None
                else f"≥ {row.low}" if row.low is not None else f"{row.high} max"
                for row in made
            ),
        ]
        for condition in conditions
    ]  # fmt: skip
    text = note(headers, lines)
    times = {condition: condition.partition(" (")[2].rstrip(")") for condition in conditions}

    assert {
        (row.name, condition.partition(" (")[0], times[condition]): row.meant
        for row in made
        for condition in conditions
    } == asked(text)


def test_a_header_name_means_one_thing() -> None:
    """No two roles share a header."""
    names = [name for known in HEADERS.values() for name in known]

    assert sorted(set(names)) == sorted(names)


HEADS = st.sampled_from(
    [
        "Parameter",
        "",
        "Min",
        "Max, °C",
        "Value",
        "Unit",
        "When",
        "For",
        "Oil psi",
        "KIAS",
        "Notes",
        "Warning",
        "Critical",
        "Flaps",
    ]
)
CELLS = st.sampled_from(
    ["", "-", "10", "10 °C", "65 to 40", "230/215 kt", "280 kt / M 0.67", "24 ± 2 V", "psi", "TBD", "Not limited",
     "Takeoff (5 min)", "**ITT**", '"', "5 min", "40 s on / 60 s off", "1,5 V", "< 5 %", "V2", "300 A (400 A)", "10²",
     "see below", "continuous"]
) | st.text("0123456789 .,-/()±≤≥°CVAkt%", max_size=12)  # fmt: skip


@given(st.lists(HEADS, min_size=2, max_size=5), st.data())
@settings(max_examples=120)
def test_no_table_breaks_the_reader_and_every_digit_of_an_answer_is_in_its_row(
    headers: list[str], data: st.DataObject
) -> None:
    """Any cells under any headers: no exception, and what is asked as a number stands in the note."""
    line = st.lists(CELLS, min_size=len(headers), max_size=len(headers))
    text = note(headers, data.draw(st.lists(line, min_size=1, max_size=4)))
    lines = text.splitlines()
    _, cards, _ = read_limits(text)

    def is_blank(row: str) -> bool:
        return row.lstrip("|").strip().startswith("|")

    for card in cards:
        if card.answer.form != "reading":
            row = lines[card.line - 1]
            # Ditto marks and blanks repeat what stands above; a row with a blank head goes on with the one above.
            above = lines[5 : card.line - 1] if '"' in row or is_blank(row) else []
            below = takewhile(is_blank, lines[card.line :])
            written = " ".join([row, lines[4], *above, *below]).replace("\u2212", "-")
            for digits in re.findall(r"\d+", " ".join(card.answer.texts)):
                # A nought is written before a bare point: `±.1` is shown as `± 0.1`.
                assert digits in re.sub(r"(?<!\d)\.(?=\d)", "0.", written), (card.answer.texts, written)
