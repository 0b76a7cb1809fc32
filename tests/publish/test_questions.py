"""Questions for a learning management system: their structure, and answers that are the only right one.

Element order, cardinalities and the response templates are those of IMS QTI 2.1 (assessment item information model)
and of its public examples choice.xml, order.xml and text_entry.xml, from memory.
"""

import io
import random
import zipfile
from collections import Counter
from pathlib import Path
from xml.etree import ElementTree as Xml

import pytest
from demo_decks import demo
from publish_kit import notes

from recall.base.text import CAUTION, key_form, words_of
from recall.deck.model import Deck
from recall.deck.read import read_deck
from recall.deck.source import find_sources
from recall.kinds.marking import pose
from recall.publish.choices import Choices
from recall.publish.questions import MATCH, PACKAGE, QTI, TYPE, Item, items_of, questions

SKERRY = Path(__file__).parents[2] / "decks" / "skerry"
Q = {"q": QTI, "p": PACKAGE}
ORDER = ("responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing")
SHAPES = {
    "choice": ("single", "identifier", "choiceInteraction"),
    "order": ("ordered", "identifier", "orderInteraction"),
    "number": ("single", "float", "textEntryInteraction"),
    "typed": ("single", "string", "textEntryInteraction"),
}


@pytest.fixture(scope="module")
def skerry() -> Deck:
    """The demo deck."""
    return demo()[0]


@pytest.fixture(scope="module")
def items(skerry: Deck) -> list[Item]:
    """Its questions."""
    return list(items_of(skerry, skerry.cards))


def test_every_item_has_the_structure_of_its_sort(items: list[Item]) -> None:
    """Parts in order; the interaction answers to a declared response; the right answer is one of those offered."""
    for item in items:
        root = Xml.fromstring(item.xml)
        cardinality, base, interaction = SHAPES[item.sort]
        declared = root.find("q:responseDeclaration", Q)
        asked = root.find(f"q:itemBody//q:{interaction}", Q)

        assert f"{{{QTI}}}assessmentItem" == root.tag
        assert {"identifier", "title", "adaptive", "timeDependent"} <= set(root.attrib)
        assert ORDER == tuple(part.tag.rpartition("}")[2] for part in root)
        assert declared is not None
        assert asked is not None
        assert (cardinality, base) == (declared.get("cardinality"), declared.get("baseType"))
        assert declared.get("identifier") == asked.get("responseIdentifier")
        right = [value.text for value in declared.findall("q:correctResponse/q:value", Q)]
        offered = [choice.get("identifier") for choice in asked.findall("q:simpleChoice", Q)]
        if item.sort in ("number", "typed"):
            assert len(right) == 1
            assert item.sort == "typed" or float(right[0] or "x") is not None
        else:
            assert len(set(offered)) == len(offered) >= 3
            assert MATCH == root.find("q:responseProcessing", Q).get("template")  # type: ignore[union-attr]
            assert set(right) <= set(offered)
            assert (len(right) == 1) == (item.sort == "choice")
        assert CAUTION in "".join(root.itertext())


def test_the_manifest_names_every_item_once(skerry: Deck) -> None:
    """Each resource has its type and a file that is there; no file is left over."""
    content, items = questions(skerry, skerry.cards[:200])
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = archive.namelist()
        manifest = Xml.fromstring(archive.read("imsmanifest.xml"))
    resources = manifest.findall("p:resources/p:resource", Q)
    files = [resource.find("p:file", Q).get("href") for resource in resources]  # type: ignore[union-attr]

    assert f"{{{PACKAGE}}}manifest" == manifest.tag
    assert ["metadata", "organizations", "resources"] == [part.tag.rpartition("}")[2] for part in manifest]
    assert {TYPE} == {resource.get("type") for resource in resources}
    assert files == [resource.get("href") for resource in resources]
    assert sorted(names) == sorted([*files, "imsmanifest.xml"])
    assert len(items) == len(resources)


def test_wrong_answers_are_never_right_as_well(skerry: Deck, items: list[Item]) -> None:
    """Each wrong answer offered in the demo deck is marked wrong by the very rules that mark a typed one, and no
    point of the same subject, or that shares an answer, gave it."""
    said: dict[str, set[str]] = {}
    for card in skerry.cards:
        said.setdefault(card.point, set()).update(map(key_form, card.answer.texts))
    choices = Choices(skerry.cards)
    for item in (one for one in items if one.sort == "choice"):
        card = item.card
        for wrong in choices.wrong(card):
            verdict = pose(card, random.Random(1)).mark(wrong)
            assert verdict.right is not True, (card.prompt, wrong)
            assert key_form(wrong) not in {key_form(card.subject), *said[card.point]}
            givers = [
                other
                for other in skerry.cards
                if (other.kind, other.aspect) == (card.kind, card.aspect) and other.answer.texts == (wrong,)
            ]
            assert any(key_form(other.subject) != key_form(card.subject) for other in givers)
            assert any(not said[other.point] & said[card.point] for other in givers)


def test_wrong_answers_are_of_the_same_kind_and_topic_first(skerry: Deck) -> None:
    """Where a topic has enough, all come from it."""
    choices = Choices(skerry.cards)
    meanings = [card for card in skerry.cards if (card.kind, card.aspect) == ("indication", "meaning")]
    topic, many = Counter(card.topic for card in meanings).most_common(1)[0]
    card = next(card for card in meanings if card.topic == topic)
    topics = [
        other.topic for wrong in choices.wrong(card) for other in meanings if other.answer.texts == (wrong,)
    ]

    assert many > 10
    assert {topic} == set(topics)


def test_the_same_effect_is_no_wrong_cause(tmp_path: Path) -> None:
    """Two failures with one effect: neither is offered as a wrong cause of it."""
    note = tmp_path / "note.md"
    note.write_text(
        "# Electrical\n\n| If | Then |\n| --- | --- |\n| Generator 1 fails | Bus 1 is dead |\n"
        "| Breaker 7 opens | Bus 1 is dead |\n| Inverter 1 fails | Gyros stop |\n| Battery fails | No start |\n"
        "| Pump fails | Pressure drops |\n",
        encoding="utf-8",
    )
    deck, _ = read_deck(note)
    choices = Choices(deck.cards)
    causes = [
        card for card in deck.cards if card.aspect == "cause" and card.answer.texts == ("Generator 1 fails",)
    ]

    assert all("Breaker 7 opens" not in choices.wrong(card) for card in causes)
    assert ["Bus 1 is dead"] == [
        text for card in deck.cards if card.subject == "Generator 1 fails" and card.aspect == "effect"
        for text in card.answer.texts
    ]  # fmt: skip
    assert all(
        "Bus 1 is dead" not in choices.wrong(card)
        for card in deck.cards
        if card.aspect == "effect" and "Bus 1" in card.answer.texts[0]
    )


def test_a_small_deck_makes_no_choice_of_one(tmp_path: Path) -> None:
    """Fewer than two wrong answers make no question to choose."""
    note = tmp_path / "note.md"
    note.write_text(
        "# Words\n\n- **APU** – auxiliary power unit\n- **TRU** – transformer rectifier unit\n", "utf-8"
    )
    deck, _ = read_deck(note)

    assert [] == [item.sort for item in items_of(deck, deck.cards)]


def test_numbers_are_exact(tmp_path: Path) -> None:
    """The number of a limit as written, in the unit that the question names."""
    deck, _ = read_deck(notes(tmp_path / "deck", {"Cabin pressure": "5.60 psi"}))
    item = next(items_of(deck, deck.cards))
    root = Xml.fromstring(item.xml)

    assert "5.60" == root.findtext("q:responseDeclaration/q:correctResponse/q:value", namespaces=Q)
    assert "in psi?" in "".join(root.itertext())
    assert "exact" == root.find(".//q:equal", Q).get("toleranceMode")  # type: ignore[union-attr]


def test_no_title_says_the_answer(items: list[Item]) -> None:
    """What an item is called, where all are listed, holds no right answer, nor a step of one."""
    for item in items:
        title = set(words_of(Xml.fromstring(item.xml).get("title", "")))

        assert title
        assert not [text for text in item.card.answer.texts if set(words_of(text)) <= title]


def begun(short: str, words: str) -> int:
    """How many letters of an abbreviation begin words, one after another: the longest common subsequence."""
    firsts = [word[0] for word in words_of(words)]
    rows = [[0] * (len(firsts) + 1)]
    for letter in short.casefold():
        row = [0]
        for at, first in enumerate(firsts):
            row.append(rows[-1][at] + 1 if letter == first else max(row[-1], rows[-1][at + 1]))
        rows.append(row)
    return rows[-1][-1]


def test_no_wrong_answer_is_told_by_its_letters(skerry: Deck, items: list[Item]) -> None:
    """An abbreviation's choices all fit its letters or none does; choices are of one sort to the eye, with the same
    units behind their numbers."""
    choices = Choices(skerry.cards)
    chosen = [item for item in items if item.sort == "choice"]
    for item in chosen:
        right = item.card.answer.text
        for wrong in choices.wrong(item.card):
            assert any(map(str.isdigit, right)) == any(map(str.isdigit, wrong))
            assert right.isupper() == wrong.isupper()
            if (item.card.kind, item.card.aspect) == ("abbreviation", "meaning"):
                assert begun(item.card.subject, right) <= begun(item.card.subject, wrong)

    assert len(chosen) > 50


def test_an_abbreviation_is_typed(tmp_path: Path) -> None:
    """Where its letters would tell it among others, it is asked for as it is written."""
    rows = "".join(
        f"| {short} | {words} |\n"
        for short, words in {"VMO": "Maximum operating speed", "VNE": "Never exceed speed"}.items()
    )
    (tmp_path / "short.md").write_text(f"# Short\n\n| Abbreviation | Meaning |\n|---|---|\n{rows}")
    deck, _ = read_deck(find_sources(tmp_path / "short.md")[0])
    items = list(items_of(deck, deck.cards))

    assert {"typed"} == {item.sort for item in items}
    assert {"VNE", "VMO"} == {
        Xml.fromstring(item.xml).findtext("q:responseDeclaration/q:correctResponse/q:value", namespaces=Q)
        for item in items
    }


def test_the_demo_deck_gives_every_sort(items: list[Item]) -> None:
    """Choices, numbers, orders and abbreviations, each under a name of its own."""
    count = Counter(item.sort for item in items)

    assert {"choice", "number", "order", "typed"} == set(count)
    assert len(items) == len({item.name for item in items})
