"""The record at the head of a deck: every key, and every way to get one wrong."""

from datetime import date

import pytest
from deck_kit import deck_of, said

from recall.deck.model import Accepted, Blueprint

WHOLE = """---
deck: skerry
formerly: seaplane
title: Skerry 2
revision: 8.1
effective: 2026-11-01
review-by: 2028-11-01
authority: Handbook, revision 4
applies-to: 101–160
marking: Training only
licence: CC0-1.0
authors:
  - A. Gannet
  - B. Tern
columns:
  Caption: Indication
checkride:
  pass: 80 %
  each-area: true
  questions:
    Fuel: 5
accept:
  - rule: look-alike
    where: fuel.md
    reason: both are in the handbook
topic: Aircraft / Systems
source: H 1
---

# Notes
"""


def record_of(folder, front):
    """Record and findings of a lone note with this front matter."""
    deck, findings = deck_of(folder, f"---\n{front}\n---\n\n# Notes\n")
    return deck.record, findings


def test_every_key(tmp_path):
    """Each key has its own type."""
    deck, findings = deck_of(tmp_path, deck=WHOLE)
    record = deck.record

    assert ["unknown-topic"] == [found.rule for found in findings]
    assert ("skerry", "seaplane", "Skerry 2", "8.1") == (
        record.deck,
        record.formerly,
        record.title,
        record.revision,
    )
    assert (date(2026, 11, 1), date(2028, 11, 1)) == (record.effective, record.review_by)
    assert ("Handbook, revision 4", "101–160", "Training only", "CC0-1.0") == (
        record.authority,
        record.applies_to,
        record.marking,
        record.licence,
    )
    assert (("A. Gannet", "B. Tern"), {"Caption": "Indication"}) == (record.authors, record.columns)
    assert Blueprint(80, {"Fuel": 5}, True) == record.checkride
    assert (Accepted("look-alike", "fuel.md", "both are in the handbook"),) == record.accept


def test_topic_and_source_hold_for_the_note(tmp_path):
    """They stand above the note's own headings."""
    table = "| Parameter | Maximum | Unit |\n| --- | --- | --- |\n| Flap speed | 120 | KIAS |\n"
    deck, _ = deck_of(tmp_path, deck=WHOLE + table)

    assert {(("Aircraft", "Systems", "Notes"), "H 1")} == {(card.topic, card.cite) for card in deck.cards}


@pytest.mark.parametrize(
    "line",
    [
        "deck: Skerry 2",
        f"deck: {'a' * 65}",
        "formerly: Sea plane",
        "revision: eight",
        "revision: 8-1",
        "revision: 1.",
        "effective: 2026-02-30",
        "effective: 1 March 2026",
        "effective: 2026-3-1",
        "review-by: soon",
        "review-by: 20261101",
        "title: [a, b]",
        "authority: {a: b}",
        "authors: {a: b}",
        "columns: Caption",
        "columns: [Caption]",
        "columns: {Caption: Indicaton}",
        "columns: {Caption: Indication, Caption: Means}",
        "checkride: 80",
        "checkride: {pass: most}",
        "checkride: {pass: 0}",
        "checkride: {pass: 101}",
        "checkride: {pas: 80}",
        "checkride: {questions: {Fuel: few}}",
        "checkride: {each-area: maybe}",
        "accept: look-alike",
        "accept: [{rule: look-alike}]",
        "accept: [{rule: no-such-rule, reason: why}]",
        "accept: [{rule: look-alike, reason: why, until: never}]",
        'title: "red \\e[31m"',
        'title: "\\u202Eright to left"',
    ],
)
def test_a_key_that_isnt_right_costs_no_other(tmp_path, line):
    """One finding at its line; the others count."""
    record, findings = record_of(tmp_path, f"marking: Training only\n{line}\nlicence: CC0-1.0")

    assert [("note.md", 3, "bad-record")] == said(findings)
    assert ("Training only", "CC0-1.0") == (record.marking, record.licence)


@pytest.mark.parametrize(
    ("line", "at"),
    [
        ("title: 'never closed", 3),
        ("title: [a, b", 3),
        ("title: @skerry", 3),
        ("title: !!python/object/apply:os.system ['echo']", 3),
        ("title: &a Skerry", 3),
        ("authors: [&a x, *a]", 3),
        ("authors: *nobody", 3),
        ("title: " + "[" * 40 + "]" * 40, 3),
    ],
)
def test_yaml_that_isnt_plain_costs_no_other(tmp_path, line, at):
    """Broken YAML, tags, anchors, aliases and deep nesting, each at its line."""
    record, findings = record_of(tmp_path, f"marking: Training only\n{line}\nlicence: CC0-1.0")

    assert {("note.md", at, "bad-record")} == set(said(findings))
    assert ("Training only", "CC0-1.0", "") == (record.marking, record.licence, record.title)


def test_a_colon_in_a_value_needs_no_quotes(tmp_path):
    """It can mean nothing else: a title with a colon, the variants in one line."""
    record, findings = record_of(tmp_path, "title: Skerry: the second\naircraft: 6A: 01–09; 6B: 10–14")

    assert ("Skerry: the second", {"6A": "01–09", "6B": "10–14"}, []) == (
        record.title,
        record.aircraft,
        findings,
    )


def test_a_key_given_twice(tmp_path):
    """The first counts, the second is said."""
    record, findings = record_of(tmp_path, "title: One\ntitle: Two")

    assert ("One", [("note.md", 3, "bad-record")]) == (record.title, said(findings))


def test_a_bomb_of_aliases(tmp_path):
    """Anchors that double each other are never followed."""
    lines = [
        "a0: &a0 [x, x]",
        *(f"a{at}: &a{at} [*a{at - 1}, *a{at - 1}]" for at in range(1, 40)),
        "title: Skerry",
    ]
    record, findings = record_of(tmp_path, "\n".join(lines))

    assert ("Skerry", ["other-keys"]) == (record.title, [found.rule for found in findings])


def test_an_endless_record(tmp_path):
    """Beyond 64 KiB nothing of it is read."""
    record, findings = record_of(tmp_path, "title: Skerry\nauthority: " + "x" * 70_000)

    assert ("", [("note.md", 2, "bad-record")]) == (record.title, said(findings))


@pytest.mark.parametrize("front", ["- a\n- b", "just words", "3"])
def test_a_record_that_is_no_mapping(tmp_path, front):
    """A list or a word is no record."""
    _, findings = record_of(tmp_path, front)

    assert [("note.md", 2, "bad-record")] == said(findings)


def test_dates_and_numbers_are_kept_as_written(tmp_path):
    """`8.10` isn't 8.1, `010` isn't eight, `no` isn't false."""
    record, findings = record_of(tmp_path, "revision: 8.10\ntitle: no\nlicence: 010")

    assert ([], "8.10", "no", "010") == (findings, record.revision, record.title, record.licence)


@pytest.mark.parametrize(
    ("front", "right"),
    [
        ("effective: 1970-01-01", True),
        ("effective: 1969-12-31", False),
        ("effective: 2199-12-31", True),
        ("effective: 2200-01-01", False),
        ("revision: 123456789.1.1.1.1.1.1.1", True),
        ("revision: 1234567890", False),
        ("revision: 1.1.1.1.1.1.1.1.1", False),
        ("revision: ٣", False),
    ],
)
def test_what_a_store_could_not_hand_on(tmp_path, front, right):
    """A day or a number that no other store would take in is a finding where it is written."""
    _, findings = record_of(tmp_path, front)

    assert ([] if right else [("note.md", 2, "bad-record")]) == said(findings)


def test_blank_keys_count_as_not_given(tmp_path):
    """A template's empty keys say nothing."""
    record, findings = record_of(tmp_path, "deck:\ntitle:\neffective:")

    assert ([], "test-blank-keys-count", None) == (findings, record.deck[:21], record.effective)


def test_a_note_inside_a_deck(tmp_path):
    """It gives topic and source; the keys of other programs are named in one note a deck, whatever their values."""
    foreign = "layout: page\nauthor: &a {name: x}\ntitle: {{ page.title }}\nrevision: draft: 2\n"
    deck, findings = deck_of(
        tmp_path,
        deck="# Deck\n",
        fuel=f"---\ntopic: Fuel\nsource: H 2\n{foreign}---\n\nVent is inhibited when parked.\n",
        gear=f"---\n{foreign}tags: [a]\n---\n\n# Gear\n",
    )

    assert [("fuel.md", 4, "other-keys")] == said(findings)
    assert "of 2 notes holds keys that are passed over: `layout`, `author`, `title`, `revision`, `tags`" in (
        findings[0].message
    )
    assert {(("Fuel",), "H 2")} == {(card.topic, card.cite) for card in deck.cards}


def test_keys_of_other_programs_in_a_lone_note(tmp_path):
    """They are passed over, and one that is near to ours is asked about; so are values in a shape of theirs."""
    record, findings = record_of(
        tmp_path, "title: Bell 4\nlayout: page\ndate: !!timestamp 2031-02-07\nrevison: 4\nauthors: {name: x}"
    )

    assert [("note.md", 3, "other-keys")] == said(findings)
    assert "`layout`, `date`, `revison`, `authors`" in findings[0].message
    assert findings[0].help.startswith("if `revision` is meant, write it so")
    assert ("Bell 4", "", ()) == (record.title, record.revision, record.authors)


def test_a_key_that_isnt_known_in_the_record_of_a_folder(tmp_path):
    """Nobody else reads a deck.md: the nearest of its keys is named."""
    _, findings = deck_of(tmp_path, deck="---\nrevison: 4\n---\n\n# Deck\n", fuel="# Fuel\n")

    assert [("deck.md", 2, "bad-record")] == said(findings)
    assert findings[0].help.startswith("if `revision` is meant, write it so; the record takes deck, ")


def test_a_slug_is_made_from_the_name(tmp_path):
    """Of the folder, or of a lone note."""
    folder = tmp_path / "Skerry 2 – notes"
    folder.mkdir()
    several, _ = deck_of(folder, deck="# Deck\n", fuel="# Fuel\n")

    assert "skerry-2-notes" == several.record.deck


def test_past_review_date(tmp_path):
    """The day itself is still in time."""
    _, over = deck_of(tmp_path, "---\nreview-by: 2026-11-23\n---\n")
    _, due = deck_of(tmp_path, "---\nreview-by: 2026-11-24\n---\n")

    assert (["past-review-date"], []) == ([found.rule for found in over], due)


LIMITS = """
# Fuel

| Parameter | Maximum | Unit |
| --- | --- | --- |
| Flap speed | fast | KIAS |
| Gear speed | slow | KIAS |
"""


@pytest.mark.parametrize(
    ("where", "left"),
    [("", 0), ("note.md", 0), ("note.md:13", 1), ("Flap speed", 1), ("other.md", 2), ("note.md:1", 2)],
)
def test_findings_accepted_on_purpose(tmp_path, where, left):
    """Everywhere, in a file, at a line, or about a subject; nowhere else."""
    front = (
        f"---\naccept:\n  - rule: unread-amount\n    where: {where}\n    reason: known\nauthority: H\n---\n"
    )
    _, findings = deck_of(tmp_path, front + LIMITS)

    assert left == len([found for found in findings if found.rule == "unread-amount"])


def test_an_accepted_finding_still_makes_no_card(tmp_path):
    """The finding is hidden, the point stays paused."""
    front = "---\naccept:\n  - rule: unread-amount\n    reason: known\nauthority: H\n---\n"
    deck, findings = deck_of(tmp_path, front + LIMITS)

    assert ([], 2, ()) == (findings, len(deck.paused_points), deck.cards)
