"""Three public tables of limits, their numbers counted by hand: each is the answer of a card of its own.

US Army TM 1-1510-223-10, table 5-1, two PT6A-67 (public domain; assigned from a scan by reading order): 44 numbers,
three of them times. 14 CFR 91.155(a) for airplanes, 34. `openap` 2.6.2 (PyPI, LGPL-3.0; only the numbers), three
types: 15.
"""

import pytest
from note_kit import see

ARMY = """
| Condition | Torque, % | TGT, °C | N1, % | N2, rpm | Oil, psi | Oil, °C |
|---|---|---|---|---|---|---|
| Starting | – | 1000 (5 s) | – | – | 200 max | -40 min |
| Low idle | – | 750 | 62 min | 1000 min | 60 min | -40 to 110 |
| Takeoff (5 min) | 100 | 840 | 104 | 1700 | 90 to 135 | 10 to 110 |
| Max continuous | 100 | 830 | 104 | 1700 | 90 to 135 | 10 to 105 |
| Max reverse | 75 | 760 | 88 | 1650 | 90 to 135 | 10 to 105 |
| Transient (20 s) | 138 | 870 | 104 | 1870 | 40 min, 200 max | -40 to 110 |
"""
ARMY_NUMBERS = """
1000 5 200 -40   750 62 1000 60 -40 110   5 100 840 104 1700 90 135 10 110   100 830 104 1700 90 135 10 105
75 760 88 1650 90 135 10 105   20 138 870 104 1870 40 200 -40 110
"""
AIRSPACE = """
| Airspace | Flight visibility, SM | Distance below cloud, ft | Distance above cloud, ft | Distance beside cloud, ft |
|---|---|---|---|---|
| Class B | ≥ 3 | – | – | – |
| Class C | ≥ 3 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class D | ≥ 3 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class E, below 10,000 ft MSL | ≥ 3 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class E, at or above 10,000 ft MSL | ≥ 5 | ≥ 1,000 | ≥ 1,000 | ≥ 1 SM |
| Class G, up to 1,200 ft above the surface, by day | ≥ 1 | – | – | – |
| Class G, up to 1,200 ft above the surface, at night | ≥ 3 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class G, higher, below 10,000 ft MSL, by day | ≥ 1 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class G, higher, below 10,000 ft MSL, at night | ≥ 3 | ≥ 500 | ≥ 1,000 | ≥ 2,000 |
| Class G, higher, at or above 10,000 ft MSL | ≥ 5 | ≥ 1,000 | ≥ 1,000 | ≥ 1 SM |
"""
AIRSPACE_NUMBERS = """
3   3 500 1,000 2,000   3 500 1,000 2,000   3 500 1,000 2,000   5 1,000 1,000 1
1   3 500 1,000 2,000   1 500 1,000 2,000   3 500 1,000 2,000   5 1,000 1,000 1
"""
TYPES = """
| Type | Takeoff mass, kg | Landing mass, kg | Airspeed, KIAS | Mach | Altitude, m |
|---|---|---|---|---|---|
| A19N | 75500 | 62500 | 350 | 0.82 | 12500 |
| A20N | 79000 | 66000 | 350 | 0.82 | 12500 |
| A21N | 97000 | 77800 | 350 | 0.82 | 12500 |
"""
TYPE_NUMBERS = "75500 62500 350 0.82 12500   79000 66000 350 0.82 12500   97000 77800 350 0.82 12500"


@pytest.mark.parametrize(
    ("table", "numbers", "count"),
    [(ARMY, ARMY_NUMBERS, 44), (AIRSPACE, AIRSPACE_NUMBERS, 34), (TYPES, TYPE_NUMBERS, 15)],
    ids=["TM 1-1510-223-10", "14 CFR 91.155", "openap"],
)
def test_each_number_of_a_public_table_is_asked(table: str, numbers: str, count: int) -> None:
    """As many answers as numbers, each of them one of the table's and of something named; nothing is at fault."""
    seen = see(f"# Limits\n{table}")
    cards = [card for card in seen.cards if not card.answer.drawn]
    asked = [card.answer.text.removeprefix("M ").split()[0] for card in cards]
    assert count == len(numbers.split())
    assert sorted(numbers.split()) == sorted(asked)
    assert all(card.subject for card in cards)
    assert [] == seen.said
