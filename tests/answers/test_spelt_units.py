"""Units and numbers spelt out, against published names."""

import pytest

from recall.answers import NumberAnswer
from recall.answers.spelt import with_digits
from recall.quantity import Reading, find_unit, read_cell

NIST = [
    # NIST SP 811 (2008), tables 1, 3, 6 and 7, and appendix B: names of units, and of those outside the SI.
    ("metre", "m"), ("meter", "m"), ("kilogram", "kg"), ("second", "s"), ("ampere", "A"), ("kelvin", "K"),
    ("hertz", "Hz"), ("newton", "N"), ("pascal", "Pa"), ("joule", "J"), ("watt", "W"), ("volt", "V"), ("ohm", "Ω"),
    ("degree Celsius", "°C"), ("degree Fahrenheit", "°F"), ("minute", "min"), ("hour", "h"), ("day", "day"),
    ("degree", "°"), ("litre", "L"), ("liter", "L"), ("metric ton", "t"), ("bar", "bar"), ("nautical mile", "NM"),
    ("knot", "kt"), ("foot", "ft"), ("inch", "in"), ("pound", "lb"), ("pound-force", "lbf"), ("ounce", "oz"),
    ("kilometer per hour", "km/h"), ("meter per second", "m/s"), ("foot per minute", "ft/min"),
    ("mile per hour", "mph"),
    ("inch of mercury", "inHg"), ("millimeter of mercury", "mmHg"), ("millibar", "mbar"), ("horsepower", "hp"),
    ("gallon per minute", "US gal/min"), ("pound per hour", "lb/h"), ("kilogram per second", "kg/s"),
    ("pound per gallon", "lb/US gal"), ("square foot", "ft²"), ("cubic meter", "m³"), ("kilowatt hour", "kWh"),
    ("watt hour", "Wh"), ("revolution per minute", "rpm"), ("degree per second", "°/s"),
    ("pound per square inch", "psi"),
    ("kilopascal", "kPa"), ("hectopascal", "hPa"), ("megahertz", "MHz"), ("kilonewton", "kN"), ("newton meter", "Nm"),
    ("foot pound", "ft-lb"), ("inch pound", "in-lb"), ("ampere hour", "Ah"), ("kilovolt ampere", "kVA"),
]  # fmt: skip
FAA = [
    # 14 CFR 1.2 and the Pilot/Controller Glossary (from memory): what the abbreviated units stand for.
    ("knots indicated airspeed", "KIAS"), ("knots calibrated airspeed", "KCAS"), ("knots true airspeed", "KTAS"),
    ("feet above ground level", "ft AGL"), ("feet above mean sea level", "ft MSL"), ("statute miles", "SM"),
    ("nautical miles", "NM"), ("inches of mercury", "inHg"), ("hectopascals", "hPa"),
    ("knots equivalent airspeed", "KEAS"),
]  # fmt: skip


_PLURALS = {
    "foot": "feet",
    "inch": "inches",
    "square foot": "square feet",
    "degree Celsius": "degrees Celsius",
    "degree Fahrenheit": "degrees Fahrenheit",
    "hertz": "hertz",
    "megahertz": "megahertz",
    "bar": "bar",
    "horsepower": "horsepower",
    "pound-force": "pounds-force",
}


@pytest.mark.parametrize(("said", "unit"), [*NIST, *FAA])
def test_a_unit_by_its_published_name(said: str, unit: str) -> None:
    """The number with the unit's name answers the number with its sign, in the plural too."""
    name = find_unit(unit)
    assert name is not None
    cell = read_cell("42", header_unit=name)
    assert isinstance(cell, Reading)
    answer = NumberAnswer((f"42 {unit}",), reading=cell)
    head, of, tail = said.partition(" per ") if " per " in said else said.partition(" of ")
    ending = "" if head.endswith(("s", "airspeed", "level")) else "s"
    several = f"{_PLURALS.get(head, head + ending)}{of}{tail}"

    assert [True, True] == [answer.mark(f"42 {each}").right for each in (said, several)]


@pytest.mark.parametrize(
    ("said", "digits"),
    [
        # The manner of ICAO Annex 10 volume II, 5.2.1.4 (from memory), and of everyday English.
        ("two five zero", "250"), ("one one decimal niner", "11.9"), ("one thousand two hundred", "1200"),
        ("forty-five", "45"), ("one hundred and four", "104"), ("twenty-five hundred", "2500"), ("bus one", "bus 1"),
        ("half an hour", "30 minutes"), ("two and a half hours", "2.5 hours"), ("minus twenty nine", "minus 29"),
        ("zero point four", "0.4"), ("no number here", "no number here"), ("for an hour", "for 1 hour"),
    ],
)  # fmt: skip
def test_numbers_in_words(said: str, digits: str) -> None:
    """Cardinals, digits one by one, decimals, halves."""
    assert digits == with_digits(said)
