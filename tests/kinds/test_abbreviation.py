"""Letters and what they stand for."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from recall.kinds.prose.shortform import agrees, core_of, looks_short

APU = ["meaning | What does APU stand for? | auxiliary power unit"]


def table(headers, *rows):
    """A Markdown table from lines of cells."""
    lines = [headers, "|".join("---" for _ in headers.split("|")), *rows]
    return "\n".join(f"| {line} |" for line in lines) + "\n"


@pytest.mark.parametrize(
    "headers",
    [
        "Abbreviation | Definition",
        "Acronym | Meaning",
        "Acronym | Definition",
        "Acronym | Full Form",
        "Acronym | Stands for",
        "Acronym | Expansion",
        "Abbreviation | Meaning",
        "Abbreviations | Meanings",
        "Term | Definition",
        "Symbol | Definition",
        "Acronym | Term",
        "Acronym | Abbreviation",
        "ABBR. | Meaning:",
    ],
)
def test_table_headers(see, headers):
    """Every pair of headers that people use makes the two questions."""
    seen = see(table(headers, "APU | auxiliary power unit"))

    assert [] == seen.said
    assert [("auxiliary power unit",)] == seen.answers("meaning")
    assert ["APU"] == seen.letters


def test_table_with_the_words_first(see):
    """Of two columns that could hold the letters, the cells decide."""
    seen = see(table("Term | Acronym", "auxiliary power unit | APU", "direct current | DC"))

    assert ["APU", "DC"] == seen.letters


def test_terms_in_a_wide_header(see):
    """A header that names three things is still a glossary's."""
    seen = see(table("Acronyms /Common terms/code | Meaning", "APU | auxiliary power unit"))

    assert APU == seen.lines


def test_pairs_side_by_side(see):
    """A glossary printed in two pairs of columns is read whole, the shorter one without complaint."""
    seen = see(
        table(
            "Abbreviation | Meaning | Abbreviation | Meaning",
            "APU | auxiliary power unit | TRU | transformer rectifier unit",
            "DC | direct current | | ",
        )
    )

    assert [] == seen.said
    assert {"APU", "TRU", "DC"} == set(seen.letters)


@pytest.mark.parametrize(
    "form",
    [
        "**{}** – {}",
        "**{}:** {}",
        "**{}**: {}",
        "{}: {}",
        "{} - {}",
        "`{}` - {}",
        "{} = {}",
        "{} ..... {}",
        "{} . . . . {}",
        "{} — {}",
    ],
)
def test_bullets(see, form):
    """Every way of writing a bullet makes the two questions."""
    pairs = [("APU", "auxiliary power unit"), ("IDG", "integrated drive generator")]
    seen = see("".join("- " + form.format(*pair) + "\n" for pair in pairs))

    assert [] == seen.said
    assert APU == seen.lines[:1]


def test_definition_list(see):
    """A definition list is a glossary."""
    assert APU == see("APU\n: auxiliary power unit\n").lines


def test_definition_list_of_other_things(see):
    """A definition list whose terms are no abbreviations is said, outside a glossary."""
    text = "Left lamp\n: the one on the left\n\nRight lamp\n: the one on the right\n"

    assert [(1, "unrecognised-list")] == see(text).said
    assert ["Left lamp", "Right lamp"] == see("# Glossary\n\n" + text).letters


def test_abbreviation_lines(see):
    """`*[ABC]: words` is a glossary."""
    assert APU == see("Text.\n\n*[APU]: auxiliary power unit\n").lines


def test_headings(see):
    """A heading of letters with their words below is one entry of a glossary."""
    seen = see("# Glossary\n\n## APU\n\nauxiliary power unit\n\n## TRU\n\ntransformer rectifier unit\n")

    assert APU == seen.lines[:1]
    assert ["Glossary"] == list(seen.cards[0].topic)


def test_a_chapter_is_no_entry(see):
    """A heading of letters over a text that doesn't spell them out is a chapter."""
    assert [] == see("## APU\n\nGives bleed air and power on the ground.\n").lines


@pytest.mark.parametrize(
    "text",
    [
        "- Note: check the oil\n- Fuel: 200 kg\n- Warning: hot surface\n",
        "- V1: 95 kt\n- VR: 100 kt\n- V2: 110 kt\n",
        "- GEN: ON\n- BATT: OFF\n- APU: START\n",
        "- R1: 10k resistor\n- C2: capacitor\n- U3: microcontroller\n",
        "- Fast: written in one night\n- API: served over the wire\n- GUI: not yet\n",
        "- The start is slow\n- APU: auxiliary power unit\n- It is loud\n- Wait for it\n",
        "- [APU](#apu)\n- [TRU](#tru)\n",
        "- DOC: https://example.com/a\n- SRC: https://example.com/b\n",
    ],
)
def test_no_abbreviations(see, text):
    """Bullets that set a value, warn or describe are no abbreviations, and neither is a stray one in prose."""
    assert [] == see(text).lines


def test_bold_terms_in_a_glossary(see):
    """Under a heading that says so, a bold term needn't be an abbreviation."""
    bullets = (
        "- **Bleed air** – air from the compressor\n- **APU** – auxiliary power unit\n- **Note:** read on\n"
    )
    seen = see("## Glossary\n\n" + bullets)

    assert [("air from the compressor",), ("auxiliary power unit",)] == seen.answers("meaning")
    assert [(3, "unrecognised-list")] == seen.said


@pytest.mark.parametrize("bullet", ["TRU:", "**TRU** –"])
def test_letters_alone(see, bullet):
    """Letters with nothing behind them are an item that isn't read, and said to be."""
    seen = see(f"- APU: auxiliary power unit\n- DC: direct current\n- AC: alternating current\n- {bullet}\n")

    assert [(1, "unrecognised-list")] == seen.said
    assert ["APU", "DC", "AC"] == seen.letters


@pytest.mark.parametrize("bullet", ["TRU: TBD", "TRU = ?", "TRU – -"])
def test_a_bullet_without_words(see, bullet):
    """A bullet that says nothing of its letters is said."""
    seen = see(f"- APU: auxiliary power unit\n- DC: direct current\n- AC: alternating current\n- {bullet}\n")

    assert [(4, "missing-answer")] == seen.said
    assert ["APU", "DC", "AC"] == seen.letters


def test_a_stray_item_is_said(see):
    """An item of a glossary that isn't read gets a finding of its own, and the others are read."""
    seen = see(
        "- APU: auxiliary power unit\n- DC: direct current\n- AC: alternating current\n- Note: keep this\n"
    )

    assert [(1, "unrecognised-list")] == seen.said
    assert ["APU", "DC", "AC"] == seen.letters


@pytest.mark.parametrize(
    "cell", ["ground speed; glide slope", "ground speed<br>glide slope", "1. ground speed 2. glide slope"]
)
def test_two_meanings_in_a_cell(see, cell):
    """Two meanings are one point, asked as a set, and said."""
    seen = see(table("Abbreviation | Meaning", f"GS | {cell}"))

    assert [("ground speed", "glide slope")] == seen.answers("meaning")
    assert "Which meanings does GS have?" == seen.cards[0].prompt
    assert "set" == seen.cards[0].answer.form
    assert [(3, "ambiguous-abbreviation")] == seen.said


def test_two_definitions(see):
    """A second definition of a term is a second meaning."""
    seen = see("GS\n: ground speed\n: glide slope\n")

    assert [("ground speed", "glide slope")] == seen.answers("meaning")
    assert [(1, "ambiguous-abbreviation")] == seen.said


def test_two_rows(see):
    """Two rows of one key are joined, and the finding stands at the later one and names the first."""
    seen = see(table("Abbreviation | Meaning", "GS | ground speed", "GS | glide slope"))

    assert [("ground speed", "glide slope")] == seen.answers("meaning")
    assert [(4, "ambiguous-abbreviation")] == seen.said
    assert "note.md line 3" in seen.findings[0].message


def test_a_row_said_twice(see):
    """The same meaning again is a double, not a second meaning, with or without an aside."""
    seen = see(
        table("Abbreviation | Meaning", "APU | auxiliary power unit", "APU | Auxiliary Power Unit (turbine)")
    )

    assert [(4, "duplicate-point")] == seen.said
    assert APU == seen.lines


def test_case_is_kept(see):
    """`Vc` and `vC` are two."""
    seen = see(table("Abbreviation | Meaning", "Vc | design cruising speed", "vC | speed of the charger"))

    assert [] == seen.said
    assert ["Vc", "vC"] == seen.letters


def test_a_broken_line_is_no_second_meaning(see):
    """A line end inside words that agree with the letters only as a whole parts nothing."""
    seen = see(table("Abbreviation | Meaning", "ADC | air data<br>computer"))

    assert [("air data computer",)] == seen.answers("meaning")


def test_an_aside_may_be_left_out_when_typed(see):
    """The words that the letters stand for are enough; the answer shown is the whole."""
    card = see(table("Abbreviation | Meaning", "APU | auxiliary power unit (gas turbine)")).cards[0]

    assert ("auxiliary power unit (gas turbine)",) == card.answer.texts
    assert {"also": ["auxiliary power unit"]} == card.answer.data()


def test_a_term_is_asked_as_a_term(see):
    """A glossary's plain terms mean something, they don't stand for it."""
    seen = see(table("Term | Definition", "Bleed air | air taken from the compressor"))

    assert [
        "meaning | What does “Bleed air” mean? | air taken from the compressor",
        "abbreviation | Which term means “air taken from the compressor”? | Bleed air",
    ] == seen.lines


def test_a_long_meaning_is_revealed(see):
    """Nobody is asked to type a definition of two lines."""
    words = "the line at which the centre of pressure of the hull meets the water at rest"
    seen = see(table("Term | Definition", f"Datum | {words}"))

    assert ["prose", "term"] == [card.answer.form for card in seen.cards]


def test_role(see):
    """A role is shown; letters are asked for by one that says what the thing does, and by no other."""
    seen = see(
        table(
            "Abbreviation | Meaning | Role",
            "APU | auxiliary power unit | ground power",
            "GCU | generator control unit | trips the generator",
            "DC | direct current | -",
        )
    )

    assert [("GCU",)] == seen.answers("whose-role")
    assert "Which abbreviation has the role “trips the generator”?" == seen.cards[-2].prompt
    assert (("Role", "ground power"),) == seen.cards[0].extra


@pytest.mark.parametrize(
    ("letters", "words", "asked"),
    [
        ("APU", "auxiliary power unit", False),
        ("SAR", "search and rescue", False),
        ("EDP", "engine-driven pump", False),
        ("KIAS", "knots indicated airspeed", False),
        ("HDG", "heading", False),
        ("XPDR", "transponder", True),
        ("VLO", "landing gear operating speed", True),
        ("BR", "mist", True),
    ],
)
def test_letters_that_their_words_spell_are_asked_once(see, letters, words, asked):
    """Who knows the words of initials can write them; other letters are asked for too."""
    seen = see(table("Abbreviation | Meaning", f"{letters} | {words}"))

    assert ([(words,)], asked) == (seen.answers("meaning"), [(letters,)] == seen.answers("abbreviation"))


def test_glossaries_hold_words_that_are_blanks_elsewhere(see):
    """`TBD` and `N/A` are abbreviations too."""
    seen = see(table("Abbreviation | Meaning", "TBD | to be determined", "N/A | not applicable"))

    assert [("to be determined",), ("not applicable",)] == seen.answers("meaning")


def test_morse(see):
    """In a column of Morse a stroke alone is a letter."""
    seen = see(table("Code | Meaning", "CH | -.-.", "MO | --", "TT | -"))

    assert [("-.-.",), ("--",), ("-",)] == seen.answers("meaning")


@pytest.mark.parametrize("blank", ["", "-", "—", "N/A", "TBD", "t.b.d.", "?", "see table below", "--"])
def test_missing_meaning(see, blank):
    """A row without its meaning makes no card and one finding."""
    seen = see(table("Abbreviation | Meaning", "APU | auxiliary power unit", f"XYZ | {blank}"))

    assert APU == seen.lines
    assert [(4, "missing-answer")] == seen.said


def test_headers_again(see):
    """A head printed again in the middle of a table is no entry."""
    assert (
        APU
        == see(table("Abbreviation | Meaning", "APU | auxiliary power unit", "Abbreviation | Meaning")).lines
    )


@pytest.mark.parametrize("mark", ["*", "†", "\\*", " [1]"])
def test_footnote_marks(see, mark):
    """A footnote mark is no part of the letters."""
    assert APU == see(table("Abbreviation | Meaning", f"APU{mark} | auxiliary power unit")).lines


def test_missing_letters(see):
    """A row without its letters may go on with the one above or not: neither is read."""
    seen = see(table("Abbreviation | Meaning", "APU | auxiliary power unit", " | gives bleed air"))

    assert [] == seen.lines
    assert [(3, "missing-answer"), (4, "missing-answer")] == seen.said


def test_empty_template(see):
    """A table with no answers at all gets one finding."""
    seen = see(table("Abbreviation | Meaning", "APU | ", "TRU | TBD"))

    assert [] == seen.lines
    assert [(3, "empty-template")] == seen.said


@pytest.mark.parametrize("rows", [("200 | OK", "404 | Not found"), ("1 | left", "2 | right")])
def test_numbers_are_no_letters(see, rows):
    """A table of numeric codes is not read as abbreviations."""
    assert [] == see(table("Code | Meaning", *rows)).lines


def test_an_unknown_first_column(see):
    """`X | Meaning` with an X that isn't known is no glossary."""
    assert [(1, "unrecognised-table")] == see(table("Blob | Meaning", "APU | auxiliary power unit")).said


def test_a_question_never_says_its_answer(see):
    """Where the words hold the letters, they are asked for without them, or not at all."""
    seen = see(
        table("Abbreviation | Meaning", "N1 | N1 speed of the gas generator", "XPDR | transponder (XPDR)")
    )

    assert ["N1 speed of the gas generator", "transponder (XPDR)", "XPDR"] == [
        card.answer.texts[0] for card in seen.cards
    ]
    assert "Which abbreviation stands for “transponder”?" == seen.cards[-1].prompt


@pytest.mark.parametrize(
    "term", ["APU", "N1", "Vmo/Mmo", "V2min", "vC", "A/C", "kVA", "-RA", "R/T", "TCAS II", "a.k.a."]
)
def test_looks_short(term):
    """Capitals, digits, slashes and speeds look like abbreviations."""
    assert looks_short(term)


@pytest.mark.parametrize(
    "term", ["Fuel", "Note", "NOTE", "WARNING", "28V", "200", "Battery", "Left wing tank", "", "ON"]
)
def test_looks_long(term):
    """Words, warnings, positions and quantities don't."""
    assert not looks_short(term)


@pytest.mark.parametrize(
    ("term", "words"),
    [
        # 14 CFR 1.2, as of its text
        ("AFM", "airplane flight manual"),
        ("CAS", "calibrated airspeed"),
        ("ETOPS", "extended operations"),
        ("EWIS", "electrical wiring interconnection system"),
        ("HIRL", "high-intensity runway light system"),
        ("IFSD", "in-flight shutdown"),
        ("MOCA", "minimum obstruction clearance altitude"),
        ("NM", "nautical mile"),
        # common practice, no source
        ("XPDR", "transponder"),
        ("CBs", "circuit breakers"),
        ("VNE", "never-exceed speed"),
    ],
)
def test_letters_agree_with_their_words(term, words):
    """Letters agree with the words that they stand for."""
    assert agrees(term, words)


@pytest.mark.parametrize(
    ("term", "words"), [("BATT", "off"), ("GPU", "must be off before taxi"), ("GEN", "ON"), ("AP", "")]
)
def test_letters_that_disagree(term, words):
    """Letters don't agree with any words."""
    assert not agrees(term, words)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.from_regex(r"[a-z]{3,8}", fullmatch=True), min_size=2, max_size=5))
def test_initials_always_agree(words):
    """Initials agree with the words they are made of, and the core is those words."""
    term, meaning = "".join(word[0] for word in words).upper(), " ".join(words)
    assume(term.lower() not in words)

    assert meaning == core_of(term, meaning + " (in short)")
