"""Questions for a learning management system: assessment items and their manifest (IMS QTI 2.1, IMS Content Packaging
1.1, by the structure of the standards' public examples), zipped."""

import random
from collections.abc import Iterable, Iterator, Sequence
from xml.etree import ElementTree as Xml

from recall.base.dataclass import dataclass
from recall.base.text import CAUTION, shown, words_of
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.publish.choices import FEWEST, Choices, shuffled
from recall.publish.zipped import write_zip

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
INSTANCE = "http://www.w3.org/2001/XMLSchema-instance"
MATCH = "http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct"
_SCHEMA = f"{QTI} http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd"
_MOST_STEPS = 12
TYPE = "imsqti_item_xmlv2p1"


@dataclass(frozen=True, slots=True)
class Item:
    """One item. sort: choice, number, order or typed; xml: the whole file."""

    name: str
    sort: str
    card: Card
    xml: bytes


def questions(deck: Deck, cards: Sequence[Card]) -> tuple[bytes, list[Item]]:
    """The zipped package, and the items in it. Cards that make none of the three are left out."""
    items = list(items_of(deck, cards))
    files = {f"items/{item.name}.xml": item.xml for item in items}
    files["imsmanifest.xml"] = _manifest(deck, items)
    return write_zip(files), items


def items_of(deck: Deck, cards: Iterable[Card]) -> Iterator[Item]:
    """An item for each card that can be chosen, put in order, or typed as a number or an abbreviation."""
    choices = Choices(deck.cards)
    for card in cards:
        texts = card.answer.texts
        if card.answer.ordered and 2 < len(set(texts)) == len(texts) <= _MOST_STEPS:
            yield _order(deck, card)
        elif (number := _exact(card)) is not None:
            yield _number(deck, card, number)
        elif choices.offers(card) and len(wrong := choices.wrong(card)) >= FEWEST:
            yield _choice(deck, card, wrong)
        elif (card.kind, card.aspect) == ("abbreviation", "abbreviation") and len(texts) == 1:
            yield _typed(deck, card)


def _exact(card: Card) -> str | None:
    """The one number that answers a card, as a decimal; None where there are several, or words."""
    reading = card.answer.amount
    if reading is None or reading.shape != "single" or reading.duration is not None:
        return None
    span = reading.spans[0]
    numbers = [number for number in (span.low, span.high, span.value) if number is not None]
    if len(numbers) != 1 or span.low_open or span.high_open or span.approximate:
        return None
    return f"{numbers[0].value:f}"


def _item(deck: Deck, card: Card, name: str) -> Xml.Element:
    return Xml.Element(
        "assessmentItem",
        {
            "xmlns": QTI,
            "xmlns:xsi": INSTANCE,
            "xsi:schemaLocation": _SCHEMA,
            "identifier": name,
            "title": _plain(_title(card))[:200],
            "adaptive": "false",
            "timeDependent": "false",
            "toolName": "recall",
        },
    )


def _title(card: Card) -> str:
    """What an item is called where it is listed: as much of its topic and subject as doesn't say its answer."""
    topic, kind = " / ".join(card.topic), card.kind.replace("-", " ")
    answers = [set(words_of(text)) for text in (card.answer.text, *card.answer.texts)]
    for title in (f"{topic}: {card.subject}" if topic else card.subject, f"{topic}: {kind}" if topic else ""):
        words = set(words_of(title))
        if title and not any(answer <= words for answer in answers):
            return title
    return f"{kind} {card.id[:8]}"


def _response(item: Xml.Element, cardinality: str, base: str, right: Iterable[str]) -> None:
    declared = Xml.SubElement(
        item, "responseDeclaration", {"identifier": "RESPONSE", "cardinality": cardinality, "baseType": base}
    )
    correct = Xml.SubElement(declared, "correctResponse")
    for value in right:
        Xml.SubElement(correct, "value").text = value
    score = Xml.SubElement(
        item, "outcomeDeclaration", {"identifier": "SCORE", "cardinality": "single", "baseType": "float"}
    )
    Xml.SubElement(Xml.SubElement(score, "defaultValue"), "value").text = "0"


def _body(item: Xml.Element, deck: Deck, card: Card) -> Xml.Element:
    body = Xml.SubElement(item, "itemBody")
    marking = f"{deck.record.marking} · " if deck.record.marking else ""
    Xml.SubElement(Xml.SubElement(body, "p"), "em").text = _plain(f"{marking}{CAUTION}")
    if card.critical:
        Xml.SubElement(Xml.SubElement(body, "p"), "strong").text = "Critical: to be known without fail."
    return body


def _finished(item: Xml.Element, card: Card, name: str, sort: str) -> Item:
    Xml.indent(item, " ")
    return Item(name, sort, card, Xml.tostring(item, encoding="utf-8", xml_declaration=True) + b"\n")


def _choice(deck: Deck, card: Card, wrong: Sequence[str]) -> Item:
    name = _name(card)
    item = _item(deck, card, name)
    texts = shuffled((card.answer.text, *wrong), random.Random(card.id))
    _response(item, "single", "identifier", [f"C{texts.index(card.answer.text) + 1}"])
    asked = Xml.SubElement(
        _body(item, deck, card),
        "choiceInteraction",
        {"responseIdentifier": "RESPONSE", "shuffle": "true", "maxChoices": "1"},
    )
    Xml.SubElement(asked, "prompt").text = _plain(card.prompt)
    for number, text in enumerate(texts, start=1):
        Xml.SubElement(asked, "simpleChoice", {"identifier": f"C{number}"}).text = _plain(text)
    Xml.SubElement(item, "responseProcessing", {"template": MATCH})
    return _finished(item, card, name, "choice")


def _order(deck: Deck, card: Card) -> Item:
    name = _name(card)
    item = _item(deck, card, name)
    texts = shuffled(card.answer.texts, random.Random(card.id))
    _response(item, "ordered", "identifier", [f"S{texts.index(text) + 1}" for text in card.answer.texts])
    asked = Xml.SubElement(
        _body(item, deck, card), "orderInteraction", {"responseIdentifier": "RESPONSE", "shuffle": "true"}
    )
    Xml.SubElement(asked, "prompt").text = _plain(f"{card.subject}: put the steps in order.")
    for number, text in enumerate(texts, start=1):
        Xml.SubElement(asked, "simpleChoice", {"identifier": f"S{number}"}).text = _plain(text)
    Xml.SubElement(item, "responseProcessing", {"template": MATCH})
    return _finished(item, card, name, "order")


def _typed(deck: Deck, card: Card) -> Item:
    """An abbreviation, typed just as it is written."""
    name = _name(card)
    item = _item(deck, card, name)
    _response(item, "single", "string", [card.answer.text])
    _entry(item, deck, card)
    Xml.SubElement(item, "responseProcessing", {"template": MATCH})
    return _finished(item, card, name, "typed")


def _entry(item: Xml.Element, deck: Deck, card: Card) -> None:
    line = Xml.SubElement(_body(item, deck, card), "p")
    line.text = f"{_plain(card.prompt)} "
    Xml.SubElement(line, "textEntryInteraction", {"responseIdentifier": "RESPONSE", "expectedLength": "12"})


def _number(deck: Deck, card: Card, number: str) -> Item:
    name = _name(card)
    item = _item(deck, card, name)
    _response(item, "single", "float", [number])
    _entry(item, deck, card)
    processing = Xml.SubElement(item, "responseProcessing")
    condition = Xml.SubElement(Xml.SubElement(processing, "responseCondition"), "responseIf")
    equal = Xml.SubElement(condition, "equal", {"toleranceMode": "exact"})
    Xml.SubElement(equal, "variable", {"identifier": "RESPONSE"})
    Xml.SubElement(equal, "correct", {"identifier": "RESPONSE"})
    outcome = Xml.SubElement(condition, "setOutcomeValue", {"identifier": "SCORE"})
    Xml.SubElement(outcome, "baseValue", {"baseType": "float"}).text = "1"
    return _finished(item, card, name, "number")


def _name(card: Card) -> str:
    """An XML name."""
    return f"q{card.id}"


def _plain(text: str) -> str:
    """Words that XML can hold."""
    return shown(text)


def _manifest(deck: Deck, items: Sequence[Item]) -> bytes:
    record = deck.record
    root = Xml.Element(
        "manifest",
        {
            "xmlns": PACKAGE,
            "xmlns:xsi": INSTANCE,
            "xsi:schemaLocation": f"{PACKAGE} http://www.imsglobal.org/xsd/imscp_v1p1.xsd",
            "identifier": f"{record.deck}-r{record.revision or '0'}",
        },
    )
    metadata = Xml.SubElement(root, "metadata")
    Xml.SubElement(metadata, "schema").text = "IMS Content"
    Xml.SubElement(metadata, "schemaversion").text = "1.1"
    Xml.SubElement(root, "organizations")
    resources = Xml.SubElement(root, "resources")
    for item in items:
        href = f"items/{item.name}.xml"
        resource = Xml.SubElement(
            resources, "resource", {"identifier": item.name, "type": TYPE, "href": href}
        )
        Xml.SubElement(resource, "file", {"href": href})
    Xml.indent(root, " ")
    content: bytes = Xml.tostring(root, encoding="utf-8", xml_declaration=True)
    return content + b"\n"
