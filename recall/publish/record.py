"""Changes as people read them: plain lines for a screen, Markdown for the revision record."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any

from recall.base.text import CAUTION, count, fields_of, one_line, shown
from recall.deck.model import Deck, Record
from recall.publish.difference import WHATS, Change

_SPECIAL = str.maketrans({one: f"\\{one}" for one in "\\`*_{}[]<>#|~&"})


def counted(changes: Sequence[Change]) -> str:
    """How many of each sort, in words."""
    number = Counter(change.change for change in changes)
    return ", ".join(f"{number[what]} {what}" for what in WHATS if number[what]) or "nothing changed"


def as_fields(change: Change) -> dict[str, Any]:
    """A change as plain data."""
    what = fields_of(change, "change", "kind", "subject", "old", "new", "file", "line")
    plain = what | fields_of(change, "topic", "condition", "aspect", "critical")
    if change.before:
        plain["before"] = change.before
    return plain


def text_lines(changes: Sequence[Change]) -> Iterator[tuple[str, str, str]]:
    """Title (empty but at the first of its sort), what it is about, what became of it with its place."""
    before = ""
    for change in changes:
        title = "" if change.change == before else change.change.capitalize()
        before = change.change
        about, *cells = _told(change).items()
        what = ", ".join(text if head == "Answer" else f"{head.lower()} {text}" for head, text in cells)
        yield title, about[1], f"{what}  [{change.kind}, {_place(change)}]"


def facts_of(record: Record, *more: tuple[str, str]) -> Iterator[tuple[str, str]]:
    """What a deck's record says of it, each with its label; what it doesn't say is left out."""
    facts = (
        ("Revision", record.revision),
        ("Effective", record.effective.isoformat() if record.effective else ""),
        ("Review by", record.review_by.isoformat() if record.review_by else ""),
        ("Authority", record.authority),
        ("Applies to", record.applies_to),
        ("Aircraft", "; ".join(f"{variant}: {serials}" for variant, serials in record.aircraft.items())),
        ("Authors", ", ".join(record.authors)),
        ("Licence", record.licence),
    )
    return ((label, text) for label, text in (*facts, *more) if text)


def as_markdown(deck: Deck, since: str, changes: Sequence[Change]) -> str:
    """The revision record. since: what it is compared with, empty for a first revision."""
    record = deck.record
    lines = [f"# {_plain(record.title or record.deck)}: revision record", "", CAUTION, ""]
    lines += [f"- {label}: {_plain(text)}" for label, text in facts_of(record, ("Marking", record.marking))]
    points = len({card.point for card in deck.cards})
    compared = f"Changes since {_plain(since)}: {counted(changes)}." if since else "The first revision."
    lines += ["", f"{count(points, 'point')}, {count(len(deck.cards), 'card')}. {compared}"]
    for what in WHATS:
        listed = [change for change in changes if change.change == what]
        if not listed:
            continue
        rows = [{**_told(one), "Kind": one.kind, "Place": _place(one)} for one in listed]
        cells = [rows[0], ["---"] * len(rows[0]), *(map(_plain, row.values()) for row in rows)]
        lines += ["", f"## {what.capitalize()}", "", *(f"| {' | '.join(row)} |" for row in cells)]
    return "\n".join(lines) + "\n"


def _told(change: Change) -> dict[str, str]:
    """What it is about and what became of it, by the heads of its table."""
    condition = f" ({change.condition})" if change.condition else ""
    aspect = f", {change.aspect}" if change.aspect else ""
    about = {"Point": f"{change.subject}{condition}{aspect}{' (critical)' if change.critical else ''}"}
    match change.change:
        case "changed" | "moved" | "reworded":
            return about | {"Was": change.old or "nothing", "Now": change.new or "nothing"}
        case "renamed":
            return about | {"Was": change.before, "Answer": change.new}
        case _:
            return about | {"Answer": change.new or change.old}


def _place(change: Change) -> str:
    return f"{change.file} line {change.line}"


def _plain(text: str) -> str:
    """Words of a note as words, on one line, whatever marks stand in them."""
    return one_line(shown(text)).translate(_SPECIAL)
