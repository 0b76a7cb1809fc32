"""The weather codes of the public deck against the `metar` package 2.0.2 (PyPI), run on whole reports too."""

import re
from pathlib import Path

import pytest
from metar import Metar

from recall.deck.model import Deck
from recall.deck.read import read_deck

FOLDER = Path(__file__).parents[2] / "decks" / "rules-and-weather"


@pytest.fixture(scope="module")
def deck() -> Deck:
    """The deck of public rules and weather codes."""
    return read_deck(FOLDER)[0]


def cards_of(deck: Deck, topic: str, aspect: str) -> dict[str, str]:
    """Subject → answer of the cards whose topic path holds a heading."""
    return {
        card.subject: "; ".join(card.answer.texts)
        for card in deck.cards
        if topic in card.topic and card.aspect == aspect
    }


def content_words(text: str) -> set[str]:
    """The words of a text, any case, without the small ones."""
    return set(re.findall(r"[a-z]+", text.casefold())) - {"of", "a"}


def report(groups: str) -> Metar.Metar:
    """An invented report that holds some groups, read by the `metar` package."""
    return Metar.Metar(f"METAR KXYZ 241853Z {groups}", month=11, year=2026)


@pytest.mark.parametrize(
    ("topic", "codes"),
    [
        ("Descriptors", Metar.WEATHER_DESC),
        ("Precipitation", Metar.WEATHER_PREC),
        ("Obscuration", Metar.WEATHER_OBSC),
        ("Other weather", Metar.WEATHER_OTHER),
    ],
)
def test_the_weather_codes_agree_with_the_metar_package(
    deck: Deck, topic: str, codes: dict[str, str]
) -> None:
    """Every code of the `metar` package is in the deck and its words are among ours."""
    ours = cards_of(deck, topic, "meaning")
    theirs = {code: words for code, words in codes.items() if words}

    assert set(ours) == set(theirs)
    assert [code for code in theirs if not content_words(theirs[code]) <= content_words(ours[code])] == []


def test_the_amounts_of_cloud_agree_with_the_metar_package(deck: Deck) -> None:
    """The codes of the sky have the words of the `metar` package, and those it calls clear are a group."""
    amounts = {
        point.subject: " ".join(point.fields["meaning"])
        for point in deck.points
        if point.topic[-1] == "Amount of cloud"
    }
    theirs = {code: words.strip() for code, words in Metar.SKY_COVER.items() if words}
    clear = {code for code, words in theirs.items() if words == "clear"}

    assert set(cards_of(deck, "No cloud to report", "meaning")) == clear
    assert set(amounts) == set(theirs) - clear
    assert [code for code in amounts if not content_words(theirs[code]) <= content_words(amounts[code])] == []


def test_the_types_of_cloud_agree_with_the_metar_package(deck: Deck) -> None:
    """Each type of cloud has the word of the `metar` package."""
    ours = cards_of(deck, "Types of cloud", "meaning")

    assert ours == {code: Metar.CLOUD_TYPE[code] for code in ours}
    assert len(ours) == 11


def test_the_signs_before_a_code_agree_with_the_metar_package(deck: Deck) -> None:
    """A sign before a code means what the `metar` package says."""
    asked = cards_of(deck, "Signs before a code", "answer")
    ours = {question: answer.casefold() for question, answer in asked.items()}

    assert ours["What does a minus sign before a weather code mean?"] == Metar.WEATHER_INT["-"]
    assert ours["What does a plus sign before a precipitation code mean?"] == Metar.WEATHER_INT["+"]
    assert ours["What does VC before a weather code mean?"].startswith(Metar.WEATHER_INT["VC"])
    assert ours["What does a plus sign before FC mean?"].startswith(Metar.WEATHER_SPECIAL["+FC"])


@pytest.mark.parametrize("group", ["-RA", "+TSRA", "FZFG", "FZDZ", "MIFG", "BLSN", "SHSN", "VCSH"])
def test_a_weather_group_reads_as_the_metar_package_reads_it(deck: Deck, group: str) -> None:
    """A whole weather group has the same words as the `metar` package gives it, in any order."""
    ours = cards_of(deck, "Weather and cloud", "meaning")[group]

    assert content_words(ours) == content_words(report(group).present_weather())


@pytest.mark.parametrize("group", ["BKN015", "OVC030CB", "VV002"])
def test_a_cloud_group_reads_as_the_metar_package_reads_it(deck: Deck, group: str) -> None:
    """Cover, type and height of a cloud group are those that the `metar` package reads."""
    ours = cards_of(deck, "Weather and cloud", "meaning")[group]
    theirs = report(group).sky_conditions()
    digits = re.compile(r"\d+")

    assert digits.findall(ours.replace(",", "")) == digits.findall(theirs)
    assert content_words(theirs) - {"to", "at"} <= content_words(ours)


def test_a_wind_group_reads_as_the_metar_package_reads_it(deck: Deck) -> None:
    """Direction, speed and gusts of a wind group are those that the `metar` package reads."""
    wind = report("27015G25KT 240V300")
    ours = cards_of(deck, "Wind", "meaning")

    assert ours["27015G25KT"] == (
        f"wind from {wind.wind_dir.value():.0f} degrees true at {wind.wind_speed.value():.0f} knots, "
        f"gusting to {wind.wind_gust.value():.0f} knots"
    )
    assert ours["240V300"] == (
        f"wind direction varying between {wind.wind_dir_from.value():.0f} and "
        f"{wind.wind_dir_to.value():.0f} degrees true"
    )
    assert ours["00000KT"] == report("00000KT").wind()


def test_temperature_and_pressure_read_as_the_metar_package_reads_them(deck: Deck) -> None:
    """Temperatures and altimeter settings are those that the `metar` package reads."""
    ours = cards_of(deck, "Temperature and pressure", "meaning")
    cold = report("M05/M10 A2992")

    assert ours["M05/M10"] == (
        f"temperature minus {-cold.temp.value():.0f} °C, dew point minus {-cold.dewpt.value():.0f} °C"
    )
    assert ours["A2992"] == f"altimeter setting {cold.press.value('IN'):.2f} inches of mercury"
    assert ours["Q1013"] == f"altimeter setting {report('Q1013').press.value('HPA'):.0f} hectopascals"
