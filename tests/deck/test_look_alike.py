"""What invites confusion: which pairs, how they reach the cards, and that they are asked near each other."""

import random
from datetime import datetime, timezone

import pytest
from asked_kit import combined
from deck_kit import deck_of

from recall.base.clock import SetClock
from recall.deck.checks.look_alike import pairs
from recall.kinds.model import Scope
from recall.kinds.reader import read_points
from recall.kinds.registry import KINDS
from recall.notes.reader import read_note
from recall.session.desk import Desk, order_of
from recall.store import Store


def _asked(text):
    note, _ = read_note(text, "note.md")
    return combined(read_points(note, KINDS, {}, Scope())[0], KINDS)[0].asked


def _glossary(*terms):
    rows = "".join(f"| {term} | Words of {at} |\n" for at, term in enumerate(terms))
    return f"# Abbreviations\n\n| Abbreviation | Meaning |\n| --- | --- |\n{rows}"


def _limits(*rows):
    lines = "".join(f"| {row} |\n" for row in rows)
    return f"# Limits\n\n| Parameter | Maximum | Unit |\n| --- | --- | --- |\n{lines}"


def _pairs(text):
    return [(one.point.subject, two.point.subject) for one, two, _ in pairs(_asked(text))]


@pytest.mark.parametrize(
    "terms", [("FFR", "FRR"), ("GCU", "FCU"), ("VMO", "Vmo"), ("ADF", "AFD"), ("TCAS", "TCAD")]
)
def test_abbreviations_that_look_alike(terms):
    """One letter apart, two letters in another order, or another case."""
    assert [terms] == _pairs(_glossary(*terms))


@pytest.mark.parametrize(
    "terms", [("N1", "N2"), ("AC", "DC"), ("APU", "APUS"), ("GEN1", "GEN2"), ("ADF", "DFA"), ("APU", "ELT")]
)
def test_abbreviations_that_dont(terms):
    """Shorter ones, other lengths, members of a series, and others altogether."""
    assert [] == _pairs(_glossary(*terms))


@pytest.mark.parametrize(
    "rows",
    [
        ("Oil temperature | 110 | °C", "Gearbox oil temperature | 110 | °C"),
        ("Flap speed | 150 | kt", "Gear speed | 150 | kt"),
        ("Fuel pump pressure | 30 | psi", "Fuel filter pressure | 30.0 | psi"),
    ],
)
def test_one_number_under_near_subjects(rows):
    """Subjects that differ in a word, or where one has a word more."""
    assert 1 == len(_pairs(_limits(*rows)))


@pytest.mark.parametrize(
    "rows",
    [
        ("Flap speed | 150 | kt", "Gear speed | 155 | kt"),
        ("Flap speed | 150 | kt", "Gear speed | 150 | %"),
        ("Left tank load | 900 | lb", "Right tank load | 900 | lb"),
        ("Tank 1 load | 900 | lb", "Tank 2 load | 900 | lb"),
        ("Oil temperature | 110 | °C", "Cabin pressure limit | 110 | °C"),
        ("Torque | 100 | %", "Speed | 100 | %"),
    ],
)
def test_numbers_that_invite_no_confusion(rows):
    """Other numbers or units, two sides of one thing, subjects far apart or of one word."""
    assert [] == _pairs(_limits(*rows))


def test_the_finding_stands_at_the_later_one(tmp_path):
    """A note that names the first and its place."""
    _, findings = deck_of(tmp_path, _glossary("FFR", "FRR"))

    (said,) = [said for said in findings if said.rule == "look-alike"]
    assert (6, "note") == (said.place.line, said.severity)
    assert "`FRR` looks like `FFR` in note.md line 5: a letter apart" == said.message


def test_cards_of_one_side_know_each_other(tmp_path):
    """The meaning is near the other's meaning, the letters near the other's letters."""
    deck, _ = deck_of(tmp_path, _glossary("FFR", "FRR", "ELT"))
    cards = {(card.subject, card.aspect): card for card in deck.cards}

    assert (cards["FRR", "meaning"].id,) == cards["FFR", "meaning"].near
    assert (cards["FFR", "abbreviation"].id,) == cards["FRR", "abbreviation"].near
    assert () == cards["ELT", "meaning"].near


def test_a_faulty_point_has_no_look_alike():
    """What isn't asked can't be asked near another."""
    asked = _asked(_glossary("FFR", "FRR"))
    asked[0].point.faulty = True

    assert [] == list(pairs(asked))


def test_look_alikes_are_asked_near_each_other(tmp_path):
    """From the notes through the store into the order of a sitting."""
    others = [f"{first}{last}Q" for first, last in zip("ABCDEFGHIJKLMNOP", "PONMLKJIHGFEDCBA", strict=True)]
    text = _glossary("FFR", *others, "FRR").replace("Words of 17", "Quite another thing")
    (tmp_path / "notes").mkdir()
    deck, _ = deck_of(tmp_path / "notes", text)
    store = Store.open(tmp_path / "store.db", SetClock(datetime(2026, 3, 1, 9, 0, tzinfo=timezone.utc)))
    store.load(deck)
    order = order_of(store)
    order.near = Desk(store).near
    put = []
    while (one := order.next()) is not None:
        put.append(store.card(one.card).subject)
    store.close()

    assert abs(put.index("FFR") - put.index("FRR")) <= 4


def test_a_crowd_stays_linear():
    """Each of a crowd is held against the few before it: pairs grow with the points, not with their square."""
    rng = random.Random(7)
    crowd = sorted({"".join(rng.choices("ABCDEFGH", k=4)) for _ in range(3000)})
    few, many = len(_pairs(_glossary(*crowd[:300]))), len(_pairs(_glossary(*crowd[:1500])))

    assert few > 0
    assert many <= 12 * 1500
