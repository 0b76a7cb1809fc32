"""The deck of public rules and weather codes, against sources outside the project."""

import math
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from pint import UnitRegistry

from recall.base.finding import Finding
from recall.base.text import CAUTION
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.kinds.model import Card

FOLDER = Path(__file__).parents[2] / "decks" / "rules-and-weather"

# 14 CFR 1.2, read in a copy of the section.
REGULATION = {
    "AFM": "airplane flight manual",
    "AGL": "above ground level",
    "ALS": "approach light system",
    "APU": "auxiliary power unit",
    "ASR": "airport surveillance radar",
    "ATC": "air traffic control",
    "CAS": "calibrated airspeed",
    "DH": "decision height",
    "EAS": "equivalent airspeed",
    "EWIS": "electrical wiring interconnection system",
    "ETOPS": "extended operations",
    "GS": "glide slope",
    "HIRL": "high-intensity runway light system",
    "IAS": "indicated airspeed",
    "IFR": "instrument flight rules",
    "IFSD": "in-flight shutdown",
    "ILS": "instrument landing system",
    "MAA": "maximum authorized IFR altitude",
    "MCA": "minimum crossing altitude",
    "MDA": "minimum descent altitude",
    "MEA": "minimum en route IFR altitude",
    "MEL": "minimum equipment list",
    "MOCA": "minimum obstruction clearance altitude",
    "MRA": "minimum reception altitude",
    "MSL": "mean sea level",
    "NM": "nautical mile",
    "OEI": "one engine inoperative",
    "FAA": "Federal Aviation Administration",
    "ICAO": "International Civil Aviation Organization",
    "MALS": "medium intensity approach light system",
    "MALSR": "medium intensity approach light system with runway alignment indicator lights",
    "RAIL": "runway alignment indicator light system",
    "REIL": "runway end identification lights",
    "RVR": "runway visual range as measured in the touchdown zone area",
    "TAS": "true airspeed",
    "TCAS": "traffic alert and collision avoidance system",
    "VFR": "visual flight rules",
    "VHF": "very high frequency",
    "VOR": "very high frequency omnirange station",
}

# 14 CFR 1.2, read in a stored copy: the words that each meaning must hold.
SPEEDS = {
    "VA": "design maneuvering speed",
    "VFE": "maximum flap extended",
    "VLE": "maximum landing gear extended",
    "VLO": "maximum landing gear operating speed",
    "VMC": "minimum control speed with the critical engine inoperative",
    "VMO/MMO": "maximum operating limit",
    "VNE": "never-exceed",
    "VR": "rotation",
    "VX": "best angle of climb",
    "VY": "best rate of climb",
}

# AIM 7-1, thunderstorm flying: subject, condition, aspect, answer.
LIMITS = [
    ("Distance from a severe thunderstorm", "", "minimum", "20 miles"),
]

# 14 CFR 63.17(b) and 65.17(b): a minimum passing grade of 70 percent, read in a copy of the sections.
GRADES = [
    "for a flight engineer or flight navigator",
    "for an airman other than a flight crewmember, under part 65",
]

# NIST SP 811: unit, and the digits that its table gives, shown beside the rounded size that is asked.
UNITS = {
    "One foot": ("foot", "meter", "0.3048", "exact as it stands"),
    "One nautical mile": ("nautical_mile", "meter", "1852", "exact as it stands"),
    "One pound": ("pound", "kilogram", "0.4536", "exactly 0.45359237 kg"),
    "One US gallon": ("US_liquid_gallon", "liter", "3.785", "exactly 3.785411784 L"),
    "One imperial gallon": ("imperial_gallon", "liter", "4.546", "exactly 4.54609 L"),
    "One standard atmosphere": (
        "standard_atmosphere",
        "hectopascal",
        "1013.25",
        "exact as it stands: 101325 Pa",
    ),
    "One pound per square inch": ("psi", "kilopascal", "6.895", "6.894757 kPa to seven digits"),
    "One inch of mercury": ("inch_Hg", "hectopascal", "33.86", "33.86389 hPa to seven digits"),
    "One mechanical horsepower": ("horsepower", "watt", "745.7", "745.6999 W to seven digits"),
}


@pytest.fixture(scope="module")
def read() -> tuple[Deck, list[Finding]]:
    """The deck and what the checker says of it on its effective date."""
    return read_deck(FOLDER, today=date(2026, 11, 28))


@pytest.fixture(scope="module")
def deck(read: tuple[Deck, list[Finding]]) -> Deck:
    """The deck alone."""
    return read[0]


@pytest.fixture(scope="module")
def units() -> UnitRegistry:
    """The units of the `pint` package."""
    return UnitRegistry()


def cards_of(deck: Deck, topic: str, aspect: str) -> dict[str, str]:
    """Subject → answer of the cards whose topic path holds a heading."""
    return {
        card.subject: "; ".join(card.answer.texts)
        for card in deck.cards
        if topic in card.topic and card.aspect == aspect
    }


def limit(deck: Deck, subject: str, condition: str, aspect: str) -> str:
    """The one answer of a limit's card."""
    found = [
        card.answer.texts[0]
        for card in deck.cards
        if (card.kind, card.subject, card.condition, card.aspect) == ("limit", subject, condition, aspect)
    ]
    assert len(found) == 1, (subject, condition, aspect, found)
    return found[0]


def number(answer: str) -> Decimal:
    """The number of an answer, without its unit."""
    return Decimal(answer.split()[0].replace(",", "").replace("−", "-"))


def test_the_abbreviations_of_the_regulation_are_those_of_14_cfr_1_2(deck: Deck) -> None:
    """Letters and words of the compared table are those of 14 CFR 1.2, none left out, none added."""
    assert cards_of(deck, "In the regulation", "meaning") == REGULATION


def test_letters_that_their_words_do_not_spell_are_asked_for_too(deck: Deck) -> None:
    """The other way round, the words of 14 CFR 1.2 ask for letters that aren't their initials."""
    asked = cards_of(deck, "In the regulation", "abbreviation")

    assert asked == {letters: letters for letters in REGULATION.keys() & asked.keys()}
    assert {"HIRL"} <= asked.keys() < REGULATION.keys()
    assert not {"AFM", "CAS", "ETOPS", "EWIS", "MOCA", "NM"} & asked.keys()


@pytest.mark.parametrize("letters", SPEEDS)
def test_a_speed_has_the_words_of_the_regulation(deck: Deck, letters: str) -> None:
    """A V-speed means what 14 CFR 1.2 says."""
    assert SPEEDS[letters] in cards_of(deck, "Design and operating speeds", "meaning")[letters]


def test_the_longer_of_two_abbreviations_is_a_point_of_its_own(deck: Deck) -> None:
    """MALS is a prefix of MALSR in 14 CFR 1.2, V2 of V2min: each has its own words."""
    lights = cards_of(deck, "In the regulation", "meaning")
    speeds = cards_of(deck, "Design and operating speeds", "meaning")

    assert lights["MALS"] != lights["MALSR"]
    assert speeds["V2"] != speeds["V2min"]


def test_alert_colors_are_those_of_14_cfr_25_1322(deck: Deck) -> None:
    """Red is a warning, amber or yellow a caution, an advisory any color except red or green (25.1322(e))."""
    assert cards_of(deck, "Alerts in the cockpit", "meaning") == {
        "Red alert": "warning",
        "Amber or yellow alert": "caution",
    }
    assert cards_of(deck, "Alerts in the cockpit", "answer") == {
        "Which colors may an advisory alert have?": "Any color except red or green.",
        "What does an advisory alert call for?": "Awareness by the crew, and a response later if needed.",
    }


def test_instrument_marks_are_those_of_14_cfr_25_1549(deck: Deck) -> None:
    """Red radial for a limit, green arc normal, yellow arc precautionary (14 CFR 25.1549)."""
    assert cards_of(deck, "Marks on powerplant instruments", "meaning") == {
        "Red radial on a powerplant instrument": "safe operating limit",
        "Green arc on a powerplant instrument": "normal operating range",
        "Yellow arc on a powerplant instrument": "takeoff and precautionary range",
    }


@pytest.mark.parametrize(("subject", "condition", "aspect", "answer"), LIMITS)
def test_an_everyday_limit_is_that_of_part_91(
    deck: Deck, subject: str, condition: str, aspect: str, answer: str
) -> None:
    """A limit that isn't in a compared row by itself is the one of its source."""
    assert limit(deck, subject, condition, aspect) == answer


@pytest.mark.parametrize("condition", GRADES)
def test_the_passing_grade_is_seventy_percent(deck: Deck, condition: str) -> None:
    """14 CFR 63.17(b) and 65.17(b) set the minimum passing grade at 70 percent."""
    assert number(limit(deck, "Passing grade of a knowledge test", condition, "minimum")) == 70


def test_failing_one_area_fails_the_practical_test(deck: Deck) -> None:
    """14 CFR 61.43(c): whoever fails one area of operation fails the whole practical test."""
    asked = cards_of(deck, "Examinations", "answer")
    question = "A pilot fails one area of operation of a practical test. How much of the test is failed?"

    assert "The whole practical test." == asked[question]


@pytest.mark.parametrize("subject", UNITS)
def test_the_size_of_a_unit_is_that_of_nist_and_pint(deck: Deck, units: UnitRegistry, subject: str) -> None:
    """A unit's size is pint's to the last written digit; its remark holds the digits of NIST SP 811."""
    unit, base, written, remark = UNITS[subject]
    size = number(limit(deck, subject, "", "value"))
    exact = Decimal(str(units(f"1 {unit}").to(base).magnitude))
    [row] = [point for point in deck.points if point.subject == subject]

    assert size == Decimal(written)
    assert abs(exact - size) <= Decimal("0.5").scaleb(int(size.as_tuple().exponent))
    assert remark in (FOLDER / row.place.file).read_text(encoding="utf-8").splitlines()[row.place.line - 1]


def test_the_standard_atmosphere_gives_the_published_air_at_3000_feet(deck: Deck) -> None:
    """The deck's sea level and lapse rate give 282.2064 K and 90811.66 Pa at 3,000 ft (ICAO Doc 7488).

    Heights are geopotential; the values were reproduced with the `ambiance` package 1.3.1.
    """
    sea_kelvin = float(number(limit(deck, "Standard temperature at sea level", "", "value"))) + 273.15
    sea_hpa = float(number(limit(deck, "Standard pressure at sea level", "", "value")))
    fall = limit(deck, "Standard lapse rate per 1,000 m", "below the tropopause", "value")
    per_meter = float(number(fall)) / 1000
    kelvin = sea_kelvin - per_meter * 914.4
    # Hydrostatic balance with 9.80665 m/s² and 287.05287 J/(kg K), both of ICAO Doc 7488.
    pascal = 100 * sea_hpa * (kelvin / sea_kelvin) ** (9.80665 / (287.05287 * per_meter))

    assert math.isclose(kelvin, 282.2064, abs_tol=2e-3)
    assert math.isclose(pascal, 90811.66, rel_tol=2e-5)


def test_the_standard_altimeter_setting_is_the_standard_pressure(deck: Deck) -> None:
    """29.92 inHg is 1013.2075 hPa by NIST SP 811, the standard pressure to its written precision."""
    inches = float(number(limit(deck, "Standard altimeter setting", "", "value")))
    hectopascals = float(number(limit(deck, "Standard pressure at sea level", "", "value")))

    assert math.isclose(inches * 33.86388640341, 1013.2075, abs_tol=5e-5)
    assert abs(hectopascals - 1013.2075) < 0.005 * 33.86388640341


def test_every_card_names_its_source(deck: Deck) -> None:
    """No point rests on the deck's authority alone: each names a text, or says that there is none."""
    texts = (
        "14 CFR ",
        "49 CFR ",
        "AIM",
        "FMH-1",
        "AFMAN 15-111",
        "NOAA",
        "WMO-No. ",
        "AC 00-6",
        "NAVEDTRA ",
        "ICAO ",
        "FAA-H-",
        "NIST ",
        "title page",
        "common practice",
    )

    assert [(card.subject, card.cite) for card in deck.cards if not card.cite.startswith(texts)] == []


def test_what_is_from_memory_says_so(deck: Deck) -> None:
    """Sources that were at hand are named here; all others ask the reader to check the current text."""
    compared = {
        "14 CFR 25.1549",
        "14 CFR 63.17(b), 65.17(b), 61.43(c) and 61.35(b)",
        "NIST SP 811",
        "common practice, no source",
    }
    others = {card.cite for card in deck.cards} - compared

    assert {
        cite
        for cite in others
        if not cite.endswith(("from memory: check the current text)", "in a stored copy)"))
    } == set()


def test_no_error_or_warning_is_found(read: tuple[Deck, list[Finding]]) -> None:
    """The checker says nothing above a note about the deck."""
    assert [said for said in read[1] if said.severity != "note"] == []


def test_every_table_and_list_makes_points(read: tuple[Deck, list[Finding]]) -> None:
    """Nothing of the deck is left unread."""
    assert [said for said in read[1] if said.rule.startswith("unrecognised")] == []


def test_the_deck_is_of_a_useful_size(deck: Deck) -> None:
    """At least 250 points, at least 10 of them critical."""
    critical = {card.point for card in deck.cards if card.critical}

    assert len(deck.points) >= 250
    assert len(critical) >= 10


def test_the_deck_says_that_it_is_a_study_aid(deck: Deck) -> None:
    """The record marks every page with the caution and the first page asks to check the current text."""
    page = " ".join((FOLDER / "deck.md").read_text(encoding="utf-8").split())

    assert deck.record.marking == CAUTION
    assert "Check the current text." in page
    assert "study aid" in page


def test_every_area_of_the_blueprint_has_cards(deck: Deck) -> None:
    """Each topic of the examination has more cards than it draws."""
    assert deck.record.checkride is not None
    drawn = deck.record.checkride.questions
    held = {topic: sum(card.topic[0] == topic for card in deck.cards) for topic in drawn}

    assert {topic for topic in drawn if held[topic] < 2 * drawn[topic]} == set()
    assert {card.topic[0] for card in deck.cards} == set(drawn)


def subjects_twice(cards: tuple[Card, ...]) -> set[str]:
    """Abbreviations with a meaning in more than one place."""
    letters = [card.subject for card in cards if card.kind == "abbreviation" and card.aspect == "meaning"]
    return {one for one in letters if letters.count(one) > 1}


def test_letters_with_two_meanings_are_known_and_accepted(deck: Deck) -> None:
    """GS and VA mean one thing in 14 CFR 1.2 and another in the `metar` package; the record accepts just these."""
    assert subjects_twice(deck.cards) == {"GS", "VA"}
    assert {entry.where for entry in deck.record.accept if entry.rule == "differs-elsewhere"} == {"GS", "VA"}
