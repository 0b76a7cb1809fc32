"""Two public glossaries in the layouts that people use, counted by hand.

14 CFR 1.2, "Abbreviations and symbols": 27 entries, as quoted in documents. The weather and cloud codes of the
`metar` package 2.0.2 (PyPI): 8 descriptors, 9 kinds of precipitation, 8 obscurations, 6 others, 16 clouds.
"""

import pytest
from metar import Metar
from note_kit import see

FAR = dict(
    line.split(" ", 1)
    for line in """AFM airplane flight manual
AGL above ground level
ALS approach light system
APU auxiliary power unit
ASR airport surveillance radar
ATC air traffic control
CAS calibrated airspeed
DH decision height
EAS equivalent airspeed
EWIS electrical wiring interconnection system
ETOPS extended operations
GS glide slope
HIRL high-intensity runway light system
IAS indicated airspeed
IFR instrument flight rules
IFSD in-flight shutdown
ILS instrument landing system
MAA maximum authorized IFR altitude
MCA minimum crossing altitude
MDA minimum descent altitude
MEA minimum en route IFR altitude
MEL minimum equipment list
MOCA minimum obstruction clearance altitude
MRA minimum reception altitude
MSL mean sea level
NM nautical mile
OEI one engine inoperative""".splitlines()
)
CODES = {
    code: words
    for table in (
        Metar.WEATHER_DESC, Metar.WEATHER_PREC, Metar.WEATHER_OBSC, Metar.WEATHER_OTHER, Metar.CLOUD_TYPE
    )
    for code, words in table.items()
    if words
}  # fmt: skip

LAYOUTS = {
    "bold and dash": ("- **{}** – {}", "\n"),
    "colon": ("- {}: {}", "\n"),
    "equals": ("- {} = {}", "\n"),
    "code and hyphen": ("- `{}` - {}", "\n"),
    "dots": ("- {} ..... {}", "\n"),
    "definitions": ("{}\n: {}", "\n\n"),
    "headings": ("## {}\n\n{}", "\n\n"),
    "abbr": ("*[{}]: {}", "\n"),
    "with ids and marks": ("[{}]{{#n{n}}}\n: {}[^1]", "\n\n"),
    "table": ("| {} | {} |", "\n"),
}


def written(pairs: dict[str, str], layout: str) -> str:
    """A glossary in one layout."""
    line, between = LAYOUTS[layout]
    head = "| Abbreviation | Meaning |\n| --- | --- |\n" if layout == "table" else ""
    lines = [line.format(key, words, n=at) for at, (key, words) in enumerate(pairs.items())]
    return f"# Abbreviations\n\n{head}{between.join(lines)}\n\n[^1]: As printed.\n"


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize(("pairs", "count"), [(FAR, 27), (CODES, 47)], ids=["14 CFR 1.2", "metar"])
def test_a_public_glossary_is_read_whole_in_every_layout(
    pairs: dict[str, str], count: int, layout: str
) -> None:
    """Each entry makes its point with its own words, and nothing is said of the list."""
    seen = see(written(pairs, layout))
    read = {card.subject: card.answer.texts for card in seen.cards if card.aspect == "meaning"}

    assert count == len(read)
    assert {key: (words,) for key, words in pairs.items()} == read
    assert [] == [said for said in seen.findings if said.rule != "look-alike"]
