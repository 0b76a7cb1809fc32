"""Units: sizes against outside sources, spellings, references that never convert."""

from fractions import Fraction

import pint
import pytest

from recall.base.errors import RecallError
from recall.quantity import Unit, convert, find_unit, read_unit, referenced, same_reference
from recall.quantity.units_table import JOINED, REFERENCES, UNITS


def unit(name: str) -> Unit:
    """A unit that must be known."""
    found = find_unit(name)
    assert found is not None, name
    return found


# NIST Special Publication 811 (2008), appendix B, and the definitions it gives as exact.
NIST = [
    ("ft", "m", "0.3048"),
    ("in", "cm", "2.54"),
    ("NM", "m", "1852"),
    ("SM", "m", "1609.344"),
    ("lb", "kg", "0.45359237"),
    ("US gal", "L", "3.785411784"),
    ("Imp gal", "L", "4.54609"),
    ("bar", "kPa", "100"),
    ("mbar", "hPa", "1"),
    ("mph", "km/h", "1.609344"),
    ("kt", "km/h", "1.852"),
    ("h", "s", "3600"),
    ("t", "kg", "1000"),
    ("oz", "lb", "0.0625"),
    ("qt", "US gal", "0.25"),
    ("g", "g", "1"),
]


@pytest.mark.parametrize(("source", "target", "factor"), NIST)
def test_exact_factors_are_those_of_nist(source: str, target: str, factor: str) -> None:
    """Factors that NIST SP 811 gives as exact hold digit for digit."""
    actual = convert(Fraction(1), unit(source), unit(target))

    assert Fraction(factor) == actual


# NIST SP 811, appendix B.8, to the digits printed there; the last column is half a unit of the last digit.
ROUNDED = [
    ("psi", "Pa", "6894.757", "0.0005"),
    ("inHg", "Pa", "3386.389", "0.0005"),
    ("mmHg", "Pa", "133.3224", "0.00005"),
    ("mmH2O", "Pa", "9.80665", "0"),
    ("cmH2O", "Pa", "98.0665", "0"),
    ("inH2O", "Pa", "249.08891", "0"),
    ("hp", "W", "745.6999", "0.00005"),
    ("ft-lb", "Nm", "1.355818", "0.0000005"),
    ("in-lb", "Nm", "0.1129848", "0.00000005"),
    ("US gal/min", "L/min", "3.785412", "0.0000005"),
]


@pytest.mark.parametrize(("source", "target", "factor", "half"), ROUNDED)
def test_derived_factors_round_to_those_of_nist(source: str, target: str, factor: str, half: str) -> None:
    """Factors that follow from exact ones agree with NIST SP 811 to all the digits it prints."""
    actual = convert(Fraction(1), unit(source), unit(target))

    assert abs(actual - Fraction(factor)) <= Fraction(half)


PINT = {
    "m³/s": "m**3/s", "hL": "hectoliter", "cL": "centiliter", "ft³/min": "foot**3/minute", "scfm": "foot**3/minute",
    "sccm": "cm**3/minute", "slm": "liter/minute", "g/m²": "gram/m**2", "g/L": "gram/liter", "mg/m³": "mg/m**3",
    "cP": "centipoise", "Torr": "torr", "mTorr": "millitorr", "atm": "atm", "ppb": "1e-9",
    "µS/cm": "microsiemens/cm", "mS/cm": "millisiemens/cm", "W/m²": "watt/m**2", "lm": "lumen",
    "TPI": "1/inch", "µA": "microampere",
    "kt": "knot", "mph": "mile/hour", "km/h": "km/hour", "m/s": "m/s", "ft": "foot", "m": "m", "km": "km",
    "NM": "nautical_mile", "nm": "nautical_mile", "cm²": "cm**2", "mm²": "mm**2", "cm³": "cm**3", "ns": "ns",
    "MJ": "MJ",
    "MVA": "megavolt*ampere", "SM": "mile", "in": "inch", "mm": "mm", "cm": "cm", "lb": "pound", "klb": "kilopound",
    "oz": "ounce", "kg": "kg", "t": "tonne", "US gal": "gallon", "Imp gal": "imperial_gallon", "L": "liter",
    "mL": "ml", "qt": "quart", "lb/h": "pound/hour", "lb/min": "pound/minute", "kg/h": "kg/hour",
    "kg/min": "kg/minute", "kg/s": "kg/s", "US gal/h": "gallon/hour", "US gal/min": "gallon/minute",
    "Imp gal/h": "imperial_gallon/hour", "L/h": "liter/hour", "L/min": "liter/minute",
    "lb/US gal": "pound/gallon", "kg/L": "kg/liter", "kPa": "kPa", "hPa": "hPa", "Pa": "Pa", "MPa": "MPa",
    "mbar": "mbar", "µbar": "microbar",
    "bar": "bar", "K": "K", "V": "V", "kV": "kV", "mV": "mV", "A": "A", "kA": "kA", "mA": "mA",
    "Ah": "ampere*hour", "W": "W", "kW": "kW", "VA": "volt*ampere", "kVA": "kilovolt*ampere",
    "Wh": "watt*hour", "kWh": "kilowatt*hour", "Ω": "ohm", "Hz": "1/s", "kHz": "1000/s", "N": "N", "kN": "kN",
    "daN": "decanewton", "Nm": "N*m", "s": "s", "ms": "ms", "min": "minute", "h": "hour", "day": "day",
    "week": "week", "g": "g_0", "%": "percent", "FL": "100*foot", "ft/min": "foot/minute",
    "ksi": "1000*pound*g_0/inch**2",
    "psi": "pound*g_0/inch**2", "lbf": "pound*g_0", "hp": "550*foot*pound*g_0/s", "shp": "550*foot*pound*g_0/s",
    "ft-lb": "foot*pound*g_0", "lb-ft": "foot*pound*g_0", "in-lb": "inch*pound*g_0", "MHz": "1000000/s",
    "GHz": "1000000000/s", "gram": "gram", "mg": "milligram", "m²": "m**2", "ft²": "foot**2", "m³": "m**3",
    "ft³": "foot**3", "kg/m³": "kg/m**3", "mAh": "milliampere*hour", "MW": "MW", "mW": "mW", "kΩ": "kiloohm",
    "MΩ": "megaohm", "mΩ": "milliohm", "J": "J", "kJ": "kJ", "qt/h": "quart/hour", "µs": "microsecond",
    "µm": "micrometer", "mm/s": "mm/s", "cm/s": "cm/s", "in/s": "inch/s", "m/min": "m/minute", "mm/min": "mm/minute",
    "in/min": "inch/minute", "mm/rev": "mm", "in/rev": "inch", "m/s²": "m/s**2", "m³/h": "m**3/hour",
    "m³/min": "m**3/minute", "L/s": "liter/s", "mL/min": "ml/minute", "mL/h": "ml/hour",
    "t/h": "tonne/hour", "kg/m²": "kg/m**2",
    "g/kWh": "gram/(kilowatt*hour)", "cSt": "centistokes", "N/mm²": "N/mm**2", "kgf/cm²": "kg*g_0/cm**2",
    "lbf/ft²": "pound*g_0/foot**2", "V/cell": "V", "µV": "microvolt", "Wh/kg": "watt*hour/kg", "W/kg": "W/kg",
    "µF": "microfarad", "nF": "nanofarad", "pF": "picofarad", "mH": "millihenry", "µH": "microhenry", "ppm": "ppm",
    "K/min": "K/minute", "K/h": "K/hour",
    "lx": "lux", "°C/min": "K/minute", "°C/h": "K/hour", "kNm": "kN*m", "MN": "meganewton", "MNm": "MN*m",
    "kB": "8000*bit", "MB": "1000000*byte", "GB": "1000000000*byte", "TB": "1000000000000*byte",
    "KiB": "kibibyte", "MiB": "mebibyte",
    "GiB": "gibibyte", "TiB": "tebibyte", "MB/s": "1000000*byte/s", "GB/s": "1000000000*byte/s",
    "kbit/s": "1000*bit/s", "Mbit/s": "1000000*bit/s", "Gbit/s": "1000000000*bit/s",
}  # fmt: skip


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    """Pint's units, computed with exact fractions."""
    return pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize("name", sorted(PINT))
def test_factors_are_pints_exactly(name: str, registry: pint.UnitRegistry) -> None:
    """Each unit's size in SI equals pint's, computed with fractions."""
    expected = registry.parse_expression(PINT[name]).to_base_units()

    assert Fraction(expected.magnitude) == unit(name).factor


@pytest.mark.parametrize(("name", "theirs"), [("inHg", "inch_Hg"), ("mmHg", "mmHg")])
def test_mercury_is_pints(name: str, theirs: str, registry: pint.UnitRegistry) -> None:
    """Conventional mercury columns agree with pint to twelve digits."""
    expected = Fraction(registry.parse_expression(theirs).to("Pa").magnitude)

    assert abs(unit(name).factor / expected - 1) < Fraction(1, 10**9)


def test_every_unit_is_checked_from_outside() -> None:
    """No unit of the table stands without a check, but those with nothing to compare."""
    by_hand = {"Mach", "°C", "°F", "Δ°C", "Δ°F", "inHg", "mmHg", "mmH2O", "cmH2O", "inH2O", "rpm", "krpm", "month",
               "year", "°", "°/s", "dB", "dB(A)", "dBm", "dBi", "pH"}  # fmt: skip
    names = {row[0] for row in UNITS}

    assert names <= set(PINT) | by_hand


@pytest.mark.parametrize("said", ["krpm", "rpm x1000", "rpm × 1000", "x1000 rpm"])
def test_thousands_of_turns_are_a_unit_of_their_own(said: str) -> None:
    """The prefix kilo is 1000 (SI brochure, table 7), however a rev counter's dial writes it."""
    assert Fraction(90_000) == convert(Fraction(90), unit(said), unit("rpm"))


@pytest.mark.parametrize(
    ("celsius", "fahrenheit"),
    [("870", "1598"), ("-40", "-40"), ("100", "212"), ("0", "32"), ("37.5", "99.5")],
)
def test_temperatures_convert_exactly(celsius: str, fahrenheit: str) -> None:
    """Fixed points of the two scales (NIST SP 811, B.8: t/°C = (t/°F - 32)/1.8)."""
    actual = convert(Fraction(celsius), unit("°C"), unit("°F"))

    assert Fraction(fahrenheit) == actual
    assert Fraction(celsius) == convert(actual, unit("°F"), unit("°C"))


def test_a_difference_of_ten_celsius_is_eighteen_fahrenheit() -> None:
    """A difference has no zero point (NIST SP 811, B.8)."""
    assert Fraction(18) == convert(Fraction(10), unit("Δ°C"), unit("Δ°F"))


def test_altimeter_setting_of_the_standard_atmosphere() -> None:
    """29.92 inHg is 1013.2075 hPa to four places (pint 0.25.3)."""
    actual = convert(Fraction("29.92"), unit("inHg"), unit("hPa"))

    assert abs(actual - Fraction("1013.2075")) < Fraction("0.00005")


@pytest.mark.parametrize(
    ("spelling", "name"),
    [
        *(("KIAS", "KIAS"), ("kts", "kt"), ("knots", "kt"), ("Knots", "kt"), ("kt IAS", "KIAS")),
        *(("knots TAS", "KTAS"), ("lbs/hr", "lb/h"), ("gph", "US gal/h"), ("degrees F", "°F")),
        *(("°C", "°C"), ("ºC", "°C"), ("℃", "°C"), ("° C", "°C"), ("deg C", "°C"), ("C", "°C")),
        *(("NM", "NM"), ("nm", "nm"), ("Nm", "Nm"), ("ft-lb", "ft-lb"), ("m", "m"), ("M", "Mach"), ("mA", "mA")),
        *(("ft AGL", "ft AGL"), ("feet MSL", "ft MSL"), ("ft AMSL", "ft MSL"), ("fpm", "ft/min"), ("pph", "lb/h")),
        *(("lb per hour", "lb/h"), ("U.S. gal", "US gal"), ("gallons", "US gal"), ("℉", "°F")),
        *(("psi", "psi"), ("PSI", "psi"), ("psig", "psig"), ("psi(g)", "psig"), ("in. Hg", "inHg"), ("mb", "mbar")),
        *(("VDC", "V DC"), ("V d.c.", "V DC"), ("volts AC", "V AC"), ("amps", "A"), ("A DC", "A DC"), ("kVA", "kVA")),
        *(("%", "%"), ("percent", "%"), ("% N1", "% N1"), ("%N2", "% N2"), ("% torque", "% torque"), ("RPM", "rpm")),
        *(("sec", "s"), ("S", "s"), ("hrs", "h"), ("minutes", "min"), ("days", "day"), ("G", "g"), ("shp", "shp")),
    ],
)  # fmt: skip
def test_spellings_of_the_trade(spelling: str, name: str) -> None:
    """Common spellings lead to one shown name (common practice, no source)."""
    assert name == unit(spelling).name


@pytest.mark.parametrize(
    "said", ["psig gauge", "psia GAUGE", "KIAS indicated", "ktas ground speed", "A DC dc", "kt psi"]
)
def test_what_a_unit_is_measured_against_is_said_once(said: str) -> None:
    """A unit that says its reference takes no other behind it, nor any that isn't said of it."""
    assert find_unit(said) is None


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("KIAS", "KTAS"), ("KIAS", "kt"), ("ft AGL", "ft MSL"), ("ft", "FL"), ("psig", "psia"), ("V DC", "V AC"),
        ("% N1", "% N2"), ("% torque", "%"), ("kt", "ft/min"), ("A DC", "A AC"), ("°C", "Δ°C"), ("rpm", "Hz"),
        ("lb/h", "US gal/h"), ("kW", "kVA"), ("Mach", "kt"), ("hp", "shp"),
    ],
)  # fmt: skip
def test_references_never_convert(one: str, other: str) -> None:
    """Units of another dimension or reference are refused, with what to do."""
    assert not same_reference(unit(one), unit(other))
    with pytest.raises(RecallError) as refused:
        convert(Fraction(1), unit(one), unit(other))

    assert refused.value.help


def test_a_counted_thing_is_a_unit_of_its_own() -> None:
    """A word given as a unit counts things; passengers aren't bags, and one passenger is a passenger."""
    passengers, bags, one = read_unit("passengers"), read_unit("bags"), read_unit("passenger")

    assert passengers is not None and bags is not None and one is not None
    assert ("count", True, False) == (
        passengers.dimension,
        same_reference(passengers, one),
        same_reference(passengers, bags),
    )


@pytest.mark.parametrize("text", ["knotz", "xqz", "tons", "miles", "QRT", "celcius", "psi per lamp"])
def test_an_unknown_unit_keeps_its_spelling(text: str) -> None:
    """What nobody knows, a slip in a name, and a name of two units are unknown, never guessed."""
    found = read_unit(text)

    assert found is not None
    assert (text, "unknown", False) == (found.name, found.dimension, found.known)


@pytest.mark.parametrize(
    "text", ["", " ", "-", "N/A", "TBD", "12", "5 psi", "a unit that nobody would ever write here"]
)
def test_no_unit_where_none_stands(text: str) -> None:
    """Blanks, placeholders, numbers and sentences are no units."""
    assert read_unit(text) is None


@pytest.mark.parametrize(
    ("name", "parameter", "expected"),
    [
        ("%", "N1", "% N1"),
        ("%", "Engine torque", "% torque"),
        ("%", "N1 and N2", "%"),
        ("%", "Humidity", "%"),
        ("kt", "Indicated airspeed", "KIAS"),
        ("kt", "TAS", "KTAS"),
        ("kt", "Airspeed", "kt"),
        ("rpm", "N2", "rpm"),
    ],
)
def test_a_parameters_name_gives_the_reference(name: str, parameter: str, expected: str) -> None:
    """`%` of N1 is `% N1`; where the name says nothing, nothing is added."""
    assert expected == referenced(unit(name), parameter).name


def test_no_spelling_is_taken_by_two_units() -> None:
    """In any case, one spelling leads to one unit unless it is marked as case-sensitive."""
    seen: dict[str, str] = {}
    twice = []
    for name, _, _, _, spellings in UNITS:
        for spelling in spellings.split():
            if not spelling.startswith("=") and seen.setdefault(spelling, name) != name:
                twice.append(spelling)
    joined = [word for _, words in JOINED.values() for word in words.split()]

    assert [] == twice + [word for word in joined if word in seen]
    assert {name for names, *_ in REFERENCES for name in names.split()} <= {row[0] for row in UNITS}
