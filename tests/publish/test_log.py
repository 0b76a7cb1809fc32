"""The log of reviews, held to the rules of the Experience API 1.0.3 (ADL, part two: data).

Each rule is named beside its check; the numbers of sections are from memory.
"""

import json
import re
import uuid
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
from publish_kit import notes, store
from store_kit import known_of

from recall.deck.read import read_deck
from recall.publish.log import as_batch, statements
from recall.store import Review

PROPERTIES = {"id", "actor", "verb", "object", "result", "context", "timestamp", "version"}
INTERACTIONS = {
    "true-false", "choice", "fill-in", "long-fill-in", "matching", "performance", "sequencing", "likert", "numeric",
    "other",
}  # fmt: skip
DURATION = re.compile(r"P(?!$)(\d+Y)?(\d+M)?(\d+D)?(T(?!$)(\d+H)?(\d+M)?(\d+(\.\d+)?S)?)?")


def is_iri(text: str) -> bool:
    """An absolute IRI, as RFC 3987 has it: a scheme and something behind it."""
    parts = urlsplit(text)
    return bool(parts.scheme and (parts.netloc or parts.path)) and not re.search(r"[\s<>\"{}|\\^`]", text)


def is_language_map(value: Any) -> bool:
    """4.2: language tags to texts."""
    return isinstance(value, dict) and all(
        re.fullmatch(r"[a-z]{2,3}(-[A-Za-z0-9]+)*", tag) and isinstance(text, str)
        for tag, text in value.items()
    )


def faults(one: dict[str, Any]) -> Iterator[str]:
    """All that a record store would reject."""
    if not set(one) <= PROPERTIES or not {"actor", "verb", "object"} <= set(one):
        yield "2.2, 2.4: unknown or missing property"
    if str(uuid.UUID(one["id"])) != one["id"]:
        yield "2.4.1: the id is a UUID in its standard form"
    actor = one["actor"]
    if 1 != len({"mbox", "mbox_sha1sum", "openid", "account"} & set(actor)):
        yield "2.4.2.1: exactly one inverse functional identifier"
    if set(actor["account"]) != {"homePage", "name"} or not is_iri(actor["account"]["homePage"]):
        yield "2.4.2.4: an account has a home page and a name"
    if not is_iri(one["verb"]["id"]) or not is_language_map(one["verb"]["display"]):
        yield "2.4.3: the verb is an IRI with a display"
    thing = one["object"]
    definition = thing["definition"]
    if thing["objectType"] != "Activity" or not is_iri(thing["id"]) or not is_iri(definition["type"]):
        yield "2.4.4.1: an activity with IRIs"
    if definition["interactionType"] not in INTERACTIONS:
        yield "2.4.4.1: an interaction type of the list"
    if not all(is_language_map(definition[name]) for name in ("name", "description") if name in definition):
        yield "2.4.4.1: name and description are language maps"
    result = one["result"]
    if not isinstance(result["success"], bool) or not isinstance(result.get("response", ""), str):
        yield "2.4.5: success is a boolean, response a string"
    if "duration" in result and not DURATION.fullmatch(result["duration"]):
        yield "2.4.5, 4.6: an ISO 8601 duration"
    for part in (result, one["context"]):
        if not all(is_iri(name) for name in part.get("extensions", {})):
            yield "4.1: extensions are named by IRIs"
    if not set(one["context"]["contextActivities"]) <= {"parent", "grouping", "category", "other"}:
        yield "2.4.6.2: context activities of the four sorts"
    if datetime.fromisoformat(one["timestamp"]).tzinfo is None:
        yield "2.4.7, 4.5: a timestamp with its zone"
    if not re.fullmatch(r"1\.0(\.\d+)?", one["version"]):
        yield "2.4.10: version 1.0.x"
    if any(
        value is None
        for part in (one, actor, thing, definition, result, one["context"])
        for value in part.values()
    ):
        yield "2.2: no null outside extensions"


@pytest.fixture
def log(tmp_path: Path) -> dict[str, list[dict[str, Any]]]:
    """Statements of a right, a wrong and an undone answer, without and with a name."""
    with store(tmp_path / "store.db") as opened:
        opened.load(read_deck(notes(tmp_path / "deck"))[0])
        for subject, mark, seconds in (("Fuel imbalance", 3, 4.25), ("Fuel temperature", 1, None)):
            known = known_of(opened, subject, "maximum")
            opened.record(
                Review(known.id, known.answer_hash, mark, right=mark > 1, seconds=seconds, given="200 kg")
            )
        known = known_of(opened, "Filter differential", "maximum")
        opened.undo(opened.record(Review(known.id, known.answer_hash, 4, right=True)))
        return {
            "withheld": json.loads("".join(as_batch(statements(opened)))),
            "told": json.loads("".join(as_batch(statements(opened, ["small"], "Robin Ferrier")))),
            "other": json.loads("".join(as_batch(statements(opened, ["elsewhere"])))),
        }


def test_every_statement_keeps_the_rules(log: dict[str, list[dict[str, Any]]]) -> None:
    """No fault in any of them."""
    assert [] == [fault for one in (*log["withheld"], *log["told"]) for fault in faults(one)]


def test_what_was_answered_is_told(log: dict[str, list[dict[str, Any]]]) -> None:
    """Right and wrong, the time, the words, the card and its deck's revision; nothing of what was undone."""
    right, wrong = log["withheld"]

    assert (True, "200 kg", "PT4.25S") == tuple(
        right["result"][name] for name in ("success", "response", "duration")
    )
    assert (False, False) == (wrong["result"]["success"], "duration" in wrong["result"])
    assert "4" == right["context"]["revision"]
    assert "Maximum fuel imbalance, in kg?" == right["object"]["definition"]["description"]["en"]
    assert right["object"]["id"] != wrong["object"]["id"]


def test_names_are_withheld_unless_told(log: dict[str, list[dict[str, Any]]]) -> None:
    """The account stays the same; the name is there only on request."""
    plain, named = log["withheld"][0]["actor"], log["told"][0]["actor"]

    assert "name" not in plain
    assert "Robin Ferrier" == named["name"]
    assert plain["account"] == named["account"]
    assert log["withheld"][0]["id"] == log["told"][0]["id"]


def test_other_decks_are_left_out(log: dict[str, list[dict[str, Any]]]) -> None:
    """A deck without reviews gives an empty batch."""
    assert [] == log["other"]


@pytest.mark.parametrize(
    ("change", "rule"),
    [
        (lambda one: one["actor"].update(mbox="mailto:a@example.org"), "2.4.2.1"),
        (lambda one: one["result"].update(duration="4 s"), "4.6"),
        (lambda one: one["context"]["extensions"].update(day="x"), "4.1"),
        (lambda one: one.update(timestamp="2026-05-01T09:00:00"), "4.5"),
        (lambda one: one["object"]["definition"].update(interactionType="guess"), "interaction type"),
        (lambda one: one["verb"].update(id="answered"), "2.4.3"),
    ],
)
def test_the_rules_find_what_is_wrong(log: dict[str, list[dict[str, Any]]], change: Any, rule: str) -> None:
    """A statement spoilt on purpose has a fault."""
    one = log["withheld"][0]
    change(one)

    assert any(rule in fault for fault in faults(one))
