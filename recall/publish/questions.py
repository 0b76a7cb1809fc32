"""Questions for a learning management system: assessment items and their manifest (IMS QTI 2.1, IMS Content Packaging
1.1, by the structure of the standards' public examples), zipped."""

import random
from collections.abc import Iterable, Iterator, Sequence
from xml.etree import ElementTree as Xml

from recall.base.dataclass import dataclass
from recall.base.text import CAUTION, shown, words_of
from recall.deck.model import Deck
from recall.kinds.model import Card
from recall.publish.choices import FEWEST, Choices
from recall.publish.zipped import write_zip

QTI = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE = "http://www.imsglobal.org/xsd/imscp_v1p1"
INSTANCE = "http://www.w3.org/2001/XMLSchema-instance"
MATCH = "http://www.imsglobal.org/question/qti_v2p1/rptemplates/match_correct"
_SCHEMA = f"{QTI} http://www.imsglobal.org/xsd/qti/qtiv2p1/imsqti_v2p1.xsd"
_MOST_STEPS = 12
TYPE = "imsqti_item_xmlv2p1"
_RESPONSES = {
    "choice": ("single", "identifier"),
    "order": ("ordered", "identifier"),
    "number": ("single", "float"),
    "typed": ("single", "string"),
}
"""Of each sort of item the cardinality and type of what answers it."""


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
            yield _offered(deck, card, "order", texts)
        elif (number := _exact(card)) is not None:
            yield _entered(deck, card, "number", number)
        elif choices.offers(card) and len(wrong := choices.wrong(card)) >= FEWEST:
            yield _offered(deck, card, "choice", (card.answer.text, *wrong))
        elif (card.kind, card.aspect) == ("abbreviation", "abbreviation") and len(texts) == 1:
            yield _entered(deck, card, "typed", card.answer.text)


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


def _title(card: Card) -> str:
    """What an item is called where it is listed: as much of its topic and subject as doesn't say its answer."""
    topic, kind = " / ".join(card.topic), card.kind.replace("-", " ")
    answers = [set(words_of(text)) for text in (card.answer.text, *card.answer.texts)]
    for title in (f"{topic}: {card.subject}" if topic else card.subject, f"{topic}: {kind}" if topic else ""):
        words = set(words_of(title))
        if title and not any(answer <= words for answer in answers):
            return title
    return f"{kind} {card.id[:8]}"


def _add(parent: Xml.Element, tag: str, text: str | None = None, **attributes: str) -> Xml.Element:
    made = Xml.SubElement(parent, tag, attributes)
    made.text = text
    return made


def _begun(deck: Deck, card: Card, sort: str, right: Iterable[str]) -> tuple[Xml.Element, Xml.Element]:
    """An item that declares its response, and its body."""
    item = Xml.Element(
        "assessmentItem",
        {
            "xmlns": QTI,
            "xmlns:xsi": INSTANCE,
            "xsi:schemaLocation": _SCHEMA,
            "identifier": f"q{card.id}",
            "title": shown(_title(card))[:200],
            "adaptive": "false",
            "timeDependent": "false",
            "toolName": "recall",
        },
    )
    cardinality, base = _RESPONSES[sort]
    declared = _add(
        item, "responseDeclaration", identifier="RESPONSE", cardinality=cardinality, baseType=base
    )
    correct = _add(declared, "correctResponse")
    for value in right:
        _add(correct, "value", value)
    score = _add(item, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    _add(_add(score, "defaultValue"), "value", "0")
    body = _add(item, "itemBody")
    _add(_add(body, "p"), "em", shown(" · ".join(filter(None, (deck.record.marking, CAUTION)))))
    if card.critical:
        _add(_add(body, "p"), "strong", "Critical: to be known without fail.")
    return item, body


def _finished(item: Xml.Element, card: Card, sort: str) -> Item:
    return Item(item.attrib["identifier"], sort, card, _file(item))


def _file(root: Xml.Element) -> bytes:
    Xml.indent(root, " ")
    content: bytes = Xml.tostring(root, encoding="utf-8", xml_declaration=True)
    return content + b"\n"


def _offered(deck: Deck, card: Card, sort: str, texts: Sequence[str]) -> Item:
    """The texts to choose the first of, or all to be put in their order."""
    mixed = list(texts)
    random.Random(card.id).shuffle(mixed)
    one = sort == "choice"
    letter, most = ("C", {"maxChoices": "1"}) if one else ("S", {})
    right = [f"{letter}{mixed.index(text) + 1}" for text in texts[: 1 if one else None]]
    item, body = _begun(deck, card, sort, right)
    asked = _add(body, f"{sort}Interaction", responseIdentifier="RESPONSE", shuffle="true", **most)
    _add(asked, "prompt", shown(card.prompt if one else f"{card.subject}: put the steps in order."))
    for number, text in enumerate(mixed, start=1):
        _add(asked, "simpleChoice", shown(text), identifier=f"{letter}{number}")
    _add(item, "responseProcessing", template=MATCH)
    return _finished(item, card, sort)


def _entered(deck: Deck, card: Card, sort: str, right: str) -> Item:
    """A number of any spelling, or a text just as it is written."""
    item, body = _begun(deck, card, sort, [right])
    line = _add(body, "p", f"{shown(card.prompt)} ")
    _add(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="12")
    if sort == "typed":
        _add(item, "responseProcessing", template=MATCH)
        return _finished(item, card, sort)
    condition = _add(_add(_add(item, "responseProcessing"), "responseCondition"), "responseIf")
    equal = _add(condition, "equal", toleranceMode="exact")
    _add(equal, "variable", identifier="RESPONSE")
    _add(equal, "correct", identifier="RESPONSE")
    _add(_add(condition, "setOutcomeValue", identifier="SCORE"), "baseValue", "1", baseType="float")
    return _finished(item, card, sort)


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
    metadata = _add(root, "metadata")
    _add(metadata, "schema", "IMS Content")
    _add(metadata, "schemaversion", "1.1")
    _add(root, "organizations")
    resources = _add(root, "resources")
    for item in items:
        href = f"items/{item.name}.xml"
        _add(_add(resources, "resource", identifier=item.name, type=TYPE, href=href), "file", href=href)
    return _file(root)
