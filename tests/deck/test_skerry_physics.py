"""The invented numbers of the demo aircraft against physics: she could exist, and her numbers belong together."""

import math
from decimal import Decimal

import pytest
from demo_decks import demo

from recall.deck.model import Deck

LB = 0.45359237
"""kg in a pound, exactly (NIST SP 811)."""
PSI = 6894.757
"""Pa in a pound per square inch (NIST SP 811)."""


@pytest.fixture(scope="module")
def deck() -> Deck:
    """The deck, read."""
    return demo()[0]


def limit(deck: Deck, subject: str, aspect: str, condition: str = "", text: str = "") -> float:
    """The number of a limit's one card; text must stand in its prompt."""
    found = {
        card.answer.texts[0].split()[0].rstrip("°").replace(",", "").replace("−", "-")
        for card in deck.cards
        if (card.kind, card.subject, card.aspect) == ("limit", subject, aspect)
        and condition in card.condition.casefold()
        and text in card.prompt
    }
    assert len(found) == 1, (subject, aspect, condition, found)
    return float(Decimal(found.pop()))


def pressure(feet: float) -> float:
    """Pressure in psi at a pressure altitude in ft below the tropopause (ICAO Doc 7488, equation of the layer)."""
    kelvin = 288.15 - 0.0065 * feet * 0.3048
    return float(101325 * (kelvin / 288.15) ** (9.80665 / (287.05287 * 0.0065))) / PSI


def test_the_tanks_make_the_total(deck: Deck) -> None:
    """Two wing tanks and two feeders hold the total usable fuel (sum of masses)."""
    wing = limit(deck, "Usable fuel in each wing tank", "value")
    feeder = limit(deck, "Usable fuel in each feeder tank", "value")

    assert limit(deck, "Total usable fuel", "value") == 2 * (wing + feeder)


def test_the_fuel_has_the_volume_of_its_mass(deck: Deck) -> None:
    """Volume is mass over density, 0.80 kg/L: jet fuel of ASTM D1655 weighs 0.775 to 0.840 kg/L at 15 °C."""
    mass = limit(deck, "Total usable fuel", "value") * LB

    assert round(mass / 0.80, -1) == limit(deck, "Total usable fuel by volume", "value")


def test_a_full_feeder_lasts_as_long_as_it_says(deck: Deck) -> None:
    """One engine burns half the cruise flow; 180 lb last 35 min (time is mass over flow)."""
    one = limit(deck, "Fuel flow of both engines in cruise", "value") / 2
    [why] = {card.why for card in deck.cards if card.subject == "Usable fuel in each feeder tank"}

    assert f"About {60 * limit(deck, 'Usable fuel in each feeder tank', 'value') / one:.0f} min" in why


def test_the_final_reserve_is_45_minutes_at_survey_speed(deck: Deck) -> None:
    """Reserve is flow times time, and the 45 min at least that 14 CFR 91.167(a)(3) asks of an airplane."""
    flow = limit(deck, "Fuel flow of both engines at survey speed", "value")

    assert limit(deck, "Fuel expected at landing", "minimum") == flow * 45 / 60


def test_the_cabin_altitude_at_the_ceiling_is_that_of_the_standard_atmosphere(deck: Deck) -> None:
    """Outside pressure at 21,000 ft and 4.2 psi are the pressure at 8,600 ft (ICAO Doc 7488), to 50 ft."""
    [said] = [
        card
        for card in deck.cards
        if card.prompt.startswith("How high is the cabin at 21,000 ft with 4.2 psi")
    ]
    cabin = float(said.answer.texts[0].split()[0].replace(",", ""))
    inside = pressure(limit(deck, "Operating altitude", "maximum", "pressurised")) + 4.2

    assert pressure(cabin + 50) < inside < pressure(cabin - 50)
    assert cabin < limit(deck, "Cabin altitude", "caution") < limit(deck, "Cabin altitude", "warning")


def test_the_water_seal_finds_its_differential_on_the_way_down(deck: Deck) -> None:
    """A cabin 500 ft above the water is within 0.2 psi of the air at 800 ft, and isn't yet at 1,500 ft."""
    steps = " ".join(
        " ".join(card.answer.texts) for card in deck.cards if "Descent for landing on water" in card.prompt
    )

    assert "Differential below 0.2 psi at 800 ft" in steps
    assert pressure(500) - pressure(800) < 0.2 < pressure(500) - pressure(1500)


def test_the_stalling_speed_in_a_bank_leaves_the_survey_its_margin(deck: Deck) -> None:
    """The slowest survey is 1.3 times the stalling speed in the autopilot's bank (factor 1/√cos, FAA-H-8083-3)."""
    bank = math.radians(limit(deck, "Bank with the autopilot engaged", "maximum"))
    stall = limit(deck, "VS1", "value") / math.sqrt(math.cos(bank))

    assert limit(deck, "Survey airspeed", "minimum") >= 1.3 * stall


def test_the_reference_speed_is_a_third_above_the_stall(deck: Deck) -> None:
    """VREF is at least 1.3 VS0 (14 CFR 23.73 as of 2011) at the greatest landing weight: stall goes with √weight."""
    heavy = limit(deck, "Landing weight", "maximum", "on land")
    stall = limit(deck, "VS0", "value") * math.sqrt(heavy / 13700)

    assert 1.3 * stall <= limit(deck, "VREF", "value") < 1.4 * stall


def test_takeoff_speeds_stand_above_the_minimum_control_speed(deck: Deck) -> None:
    """VR is at least 1.05 VMC and V2 at least 1.1 VMC (14 CFR 23.51 as of 2011, commuter category)."""
    control = limit(deck, "VMCA", "minimum")

    assert limit(deck, "VR", "value") >= 1.05 * control
    assert limit(deck, "V2", "value") >= 1.1 * control


def test_full_control_is_limited_by_strength(deck: Deck) -> None:
    """VA is at least VS1·√n, n being 2.1 + 24,000/(W + 10,000) (14 CFR 23.335(c) and 23.337(a) as of 2011)."""
    factor = 2.1 + 24000 / (limit(deck, "Takeoff weight", "maximum", "from land") + 10000)

    assert limit(deck, "VA", "maximum") >= limit(deck, "VS1", "value") * math.sqrt(factor)


@pytest.mark.parametrize(("aircraft", "capacity"), [("101–112", 22), ("113–160", 32)])
def test_a_battery_lasts_as_long_as_its_charge(deck: Deck, aircraft: str, capacity: float) -> None:
    """80 % of the capacity at 30 A lasts the endurance, and the 30 min at least of 14 CFR 23.1353(h) as of 2011."""
    said = limit(deck, "Essential bus endurance", "minimum", text=aircraft)

    assert said <= 60 * 0.8 * capacity / 30 < said + 2
    assert said >= 30


def test_bilge_water_weighs_what_sea_water_weighs(deck: Deck) -> None:
    """20 L of sea water at 1.025 kg/L (Ocean standard of 35 g/kg at 15 °C, from memory) weigh 45 lb."""
    [said] = {
        " ".join(card.answer.texts)
        for card in deck.cards
        if card.subject == "Bilge water is forgotten on the loadsheet" and card.aspect == "effect"
    }

    assert f"Each 20 L adds {20 * 1.025 / LB:.0f} lb" in said
