"""A limits matrix as a real manual prints it.

TM 1-1510-223-10 (US Army operator's manual, public domain), Table 5-1, two PT6A-67; assigned from a scan by reading
order.
"""

import pytest

from recall.quantity import Blank, Reading, header_parts, read_cell, shown

HEADERS = ("Torque, %", "TGT, °C", "N1, %", "N2, rpm", "Oil, psi", "Oil, °C")
TABLE = {
    "Starting": ("–", "1000 (5 s)", "–", "–", "200 max", "-40 min"),
    "Low idle": ("–", "750", "62 min", "1000 min", "60 min", "-40 to 110"),
    "Takeoff (5 min)": ("100", "840", "104", "1700", "90 to 135", "10 to 110"),
    "Max continuous": ("100", "830", "104", "1700", "90 to 135", "10 to 105"),
    "Max reverse": ("75", "760", "88", "1650", "90 to 135", "10 to 105"),
    "Transient (20 s)": ("138", "870", "104", "1870", "40 min, 200 max", "-40 to 110"),
}
EXPECTED = {
    "Starting": ("", "1000 °C for 5 s", "", "", "at most 200 psi", "at least -40 °C"),
    "Low idle": ("", "750 °C", "at least 62 % N1", "at least 1000 rpm", "at least 60 psi", "-40 to 110 °C"),
    "Takeoff (5 min)": ("100 % torque", "840 °C", "104 % N1", "1700 rpm", "90 to 135 psi", "10 to 110 °C"),
    "Max continuous": ("100 % torque", "830 °C", "104 % N1", "1700 rpm", "90 to 135 psi", "10 to 105 °C"),
    "Max reverse": ("75 % torque", "760 °C", "88 % N1", "1650 rpm", "90 to 135 psi", "10 to 105 °C"),
    "Transient (20 s)": ("138 % torque", "870 °C", "104 % N1", "1870 rpm", "40 to 200 psi", "-40 to 110 °C"),
}
CELLS = [(row, column) for row in TABLE for column in range(len(HEADERS))]


@pytest.mark.parametrize(("row", "column"), CELLS)
def test_every_cell_of_the_matrix(row: str, column: int) -> None:
    """Each cell is the limit that the manual means, in the unit of its column."""
    cell = read_cell(TABLE[row][column], header_unit=header_parts(HEADERS[column]).unit)

    if EXPECTED[row][column]:
        assert isinstance(cell, Reading), cell
        assert EXPECTED[row][column] == shown(cell)
    else:
        assert Blank(TABLE[row][column]) == cell


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # TM 55-1510-215-10: starter limits.
        (
            "40 s on, 60 s off, twice, then 40 s on, 30 min off",
            "40 s on, 60 s off, twice, then 40 s on, 30 min off",
        ),
        # TM 1-1510-224-10: charging current.
        ("above 7 A for 6 s", "more than 7 A for 6 s"),
        # TM 1-1510-224-10 and TM 55-1510-220-10: minimum battery for start, in conflict.
        ("22 V DC", "22 V DC"),
        ("24 V DC", "24 V DC"),
        # TM 55-1510-221-10: starter-generator.
        ("400 A DC", "400 A DC"),
        # TM 1-1510-223-10: torque in cruise.
        ("94 % at 1500 rpm", "94 % (at 1500 rpm)"),
    ],
)
def test_limits_of_other_manuals(text: str, expected: str) -> None:
    """Limits as sentences of the manuals put them."""
    cell = read_cell(text)

    assert isinstance(cell, Reading), cell
    assert expected == shown(cell)
