"""The record at the head of a deck: front matter, read strictly, every fault a finding for its key alone."""

import re
from difflib import get_close_matches
from typing import Any

from recall.base.finding import Finding, Place, finding
from recall.base.text import shown
from recall.deck.model import Record
from recall.notes.model import FrontMatter

_TEXT_KEYS = ("title", "authority", "applies-to", "marking", "licence")
RECORD_KEYS = (
    "deck",
    "formerly",
    *_TEXT_KEYS,
    "revision",
    "effective",
    "review-by",
    "authors",
    "columns",
    "checkride",
    "accept",
)
NOTE_KEYS = ("topic", "source")


def slug_from(name: str) -> str:
    """A deck's slug made from a folder's or file's name."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")
    return plain[:64].strip("-") or "deck"


def _read(
    matter: FrontMatter | None, file: str, keys: tuple[str, ...], unknown_help: str, *, foreign: bool
) -> tuple[dict[str, Any], list[Finding]]:
    """The values by key. foreign: keys of other programs (`layout`, `tags`) are passed over, and one note says so; a
    slip of one of ours never is."""
    if matter is None:
        return {}, []
    from recall.deck.front_matter import YamlReader
    from recall.deck.record_values import READERS, FaultError, blank

    reader = YamlReader(file, matter)
    values: dict[str, Any] = {}
    others: dict[str, int] = {}
    for name, (node, line) in reader.mapping().items():
        if name not in keys:
            near = get_close_matches(name, keys, 1)
            if foreign and not near and name not in RECORD_KEYS:
                others[name] = line
                continue
            meant = f"the nearest key is `{near[0]}`; " if near else ""
            reader.fault(line, f"`{shown(name)}` isn't a key of the record", meant + unknown_help)
            continue
        if blank(node):
            continue
        try:
            values[name] = READERS[name](node)
        except FaultError as fault:
            reader.fault(line, f"`{name}` {fault.wrong}" if " " in fault.wrong else fault.wrong, fault.right)
    if others:
        listed = ", ".join(f"`{shown(name)}`" for name in others)
        said = f"keys of other programs are passed over: {listed}"
        help = "leave them to whom they serve; a record of a deck stands in deck.md"
        reader.findings.append(
            finding("other-keys", Place(file, matter.line + min(others.values())), said, help)
        )
    return values, reader.findings


def read_record(
    matter: FrontMatter | None, file: str, name: str, *, lone: bool = False
) -> tuple[Record, dict[str, str], list[Finding]]:
    """The record of a deck, and the `topic` and `source` that its front matter gives for a lone note.

    matter: front matter of `deck.md` or of a lone note, None where there is none; name: the folder's or
    file's, from which the slug is made where none is given.
    """
    keys = RECORD_KEYS + NOTE_KEYS
    values, findings = _read(matter, file, keys, "the record takes " + ", ".join(keys), foreign=lone)
    values = {key.replace("-", "_"): value for key, value in values.items()}
    note = {key: values.pop(key) for key in NOTE_KEYS if key in values}
    slug = values.pop("deck", None) or slug_from(name)
    line = matter.line if matter else 1
    return Record(deck=slug, line=line, **values), note, findings


def read_note_record(matter: FrontMatter | None, file: str) -> tuple[dict[str, str], list[Finding]]:
    """The `topic` and `source` of a note that is neither `deck.md` nor alone; another key of the
    record is `bad-record`."""
    return _read(
        matter,
        file,
        NOTE_KEYS,
        "a note inside a deck takes `topic` and `source` only; the rest goes in deck.md",
        foreign=True,
    )
