"""Answers as JSON: what was ever written is read, and says the same."""

import json
from pathlib import Path

import pytest

from recall.answers import answer_from
from recall.kinds.model import Card

HERE = Path(__file__).parent
FIRST = (HERE / "shapes.jsonl").read_text(encoding="utf-8").splitlines()
"""A card of each shape that was written before answers were values, from the demo deck."""
STORES = sorted((HERE.parent / "store" / "versions").glob("*.json"))


@pytest.mark.parametrize("text", FIRST)
def test_a_card_is_read_and_written_as_it_was(text: str) -> None:
    """Through reading and writing, not a sign changes."""
    assert text == Card.from_json(text).to_json()


def test_cards_in_the_events_of_every_version_are_read() -> None:
    """What a store of each version holds comes back as it is."""
    texts = [
        json.dumps(card, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        for store in STORES
        for event in json.loads(store.read_text())["events"]
        for card in event.get("texts", {}).values()
    ]

    assert texts
    assert texts == [Card.from_json(text).to_json() for text in texts]


@pytest.mark.parametrize(
    ("form", "texts", "data", "right", "wrong"),
    [
        ("words", ["air valve (main)"], {"also": ["air valve"]}, "air valve", "valve"),
        ("term", ["Vc"], {"not": ["vC"]}, "Vc", "vC"),
        (
            "set",
            ["40 s for take-off", "Not limited continuous"],
            {
                "numbers": {
                    "40 s for take-off": {
                        "right": {"shape": "single", "spans": [{"value": ["40", "40"], "unit": "s"}]},
                        "time": "for take-off",
                    },
                    "Not limited continuous": {"words": "Not limited", "time": "continuous"},
                }
            },
            "not limited continuous; 40 s for take-off",
            "not limited; 40 s for take-off",
        ),
    ],
)
def test_what_only_old_notes_or_other_decks_hold(
    form: str, texts: list[str], data: dict[str, object], right: str, wrong: str
) -> None:
    """Other phrases, terms told apart by case, rungs in words with their times."""
    answer = answer_from(form, texts, data)

    assert [True, False] == [answer.mark(given).right for given in (right, wrong)]
