"""Headers as manuals and notes write them; forms from a survey of public Markdown files."""

import pytest

from recall.quantity import header_parts, shown


@pytest.mark.parametrize(
    ("header", "name", "unit"),
    [
        ("Wt (kg)", "Wt", "kg"),
        ("Oil psi", "Oil", "psi"),
        ("TGT, °C", "TGT", "°C"),
        ("Torque, %", "Torque", "% torque"),
        ("N1, %", "N1", "% N1"),
        ("N2, rpm", "N2", "rpm"),
        ("KIAS", "", "KIAS"),
        ("°C", "", "°C"),
        ("Fuel flow [pph]", "Fuel flow", "lb/h"),
        ("Oil - psi", "Oil", "psi"),
        ("Oil: psi", "Oil", "psi"),
        ("Oil/psi", "Oil", "psi"),
        ("Density kg/L", "Density", "kg/L"),
        ("Rate ft/min", "Rate", "ft/min"),
        ("Altitude (ft MSL)", "Altitude", "ft MSL"),
        ("Time (min)", "Time", "min"),
        ("Duration, min", "Duration", "min"),
        ("Flight hours", "Flight hours", "h"),
        ("Oil Min", "Oil Min", ""),
        ("Oil Max", "Oil Max", ""),
        ("Oil psi Min", "Oil Min", "psi"),
        ("Weight (max, kg)", "Weight max", "kg"),
        ("Max (psi)", "Max", "psi"),
        ("Minimum", "Minimum", ""),
        ("Max continuous", "Max continuous", ""),
        ("Bus A", "Bus A", ""),
        ("Gear in", "Gear in", ""),
        ("N1", "N1", ""),
        ("Vmin", "Vmin", ""),
        ("Oil, hot", "Oil, hot", ""),
        ("A", "A", ""),
        ("min", "min", ""),
        ("", "", ""),
    ],
)
def test_a_header_is_taken_apart(header: str, name: str, unit: str) -> None:
    """Name and unit; what isn't surely a unit stays in the name."""
    parts = header_parts(header)

    assert (name, unit) == (parts.name, parts.unit.name if parts.unit else "")


@pytest.mark.parametrize(
    ("header", "name", "condition", "duration"),
    [
        ("Takeoff (5 min)", "Takeoff", "", "5 min"),
        ("Transient (20 s)", "Transient", "", "20 s"),
        ("Start (<= 12S)", "Start", "", "at most 12 s"),
        ("Oil pressure (takeoff)", "Oil pressure", "takeoff", ""),
        ("Flaps (4000 - 5300 lb)", "Flaps", "4000 - 5300 lb", ""),
        ("TGT, °C (5 min)", "TGT", "", "5 min"),
    ],
)
def test_brackets_in_a_header(header: str, name: str, condition: str, duration: str) -> None:
    """A time in brackets is a duration, other words are a condition."""
    parts = header_parts(header)

    assert (name, condition, duration) == (
        parts.name,
        parts.condition,
        shown(parts.duration) if parts.duration else "",
    )
