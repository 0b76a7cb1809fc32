"""The record at the head of a deck: front matter, read strictly, every fault a finding for its key alone."""

from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line, shown
from recall.deck.model import Record
from recall.deck.source import HEAD
from recall.notes.model import FrontMatter

NOTE_KEYS = ("topic", "source")
MOST_NAMED = 12


def slug_from(name: str) -> str:
    """A deck's slug made from a folder's or file's name."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")
    return plain[:64].strip("-") or "deck"


@dataclass(frozen=True, slots=True)
class Head:
    """What front matter says. values: by key; foreign: keys passed over, other programs', with their lines."""

    values: dict[str, Any] = field(default_factory=dict)
    findings: list[Finding] = field(default_factory=list)
    foreign: Mapping[str, int] = field(default_factory=dict)
    file: str = ""


def read_head(matter: FrontMatter | None, file: str, *, inner: bool = False) -> Head:
    """Front matter of a note. inner: of one that is neither `deck.md` nor alone, which gives but topic and source.

    Keys of other programs are passed over, but in a `deck.md`: there a key that isn't known is `bad-record`.
    """
    if matter is None:
        return Head()
    from recall.deck.front_matter import YamlReader
    from recall.deck.record_values import READERS, FaultError, ShapeError, blank

    ours = NOTE_KEYS if inner else tuple(READERS)
    reader = YamlReader(file, matter, () if file == HEAD else ours)
    values: dict[str, Any] = {}
    for name, (node, line) in sorted(reader.mapping().items(), key=lambda pair: pair[0] in ours):
        if name not in ours:
            what = f"`{shown(name)}` isn't a key of the record"
            reader.fault(line, what, f"{meant(name)}the record takes {', '.join(ours)}", name)
        elif not blank(node):
            try:
                values[name] = READERS[name](node)
            except FaultError as fault:
                if reader.foreign and isinstance(fault, ShapeError):
                    reader.foreign.setdefault(name, matter.line + line)
                    continue
                wrong = f"`{name}` {fault.wrong}" if " " in fault.wrong else fault.wrong
                reader.fault(line, wrong, fault.right)
    return Head(values, reader.findings, reader.foreign, file)


def meant(name: str) -> str:
    """Which of the record's keys a key is near to, as the beginning of a help; empty where there is none."""
    from recall.deck.record_values import READERS

    near = get_close_matches(name.casefold(), READERS, 1, 0.75)
    return f"if `{near[0]}` is meant, write it so; " if near else ""


def record_from(head: Head, name: str, line: int) -> tuple[Record, dict[str, str]]:
    """The record of a deck, and the `topic` and `source` that its front matter gives for its own note.

    name: the folder's or file's, from which the slug is made where none is given; line: of the record.
    """
    values = {key.replace("-", "_"): value for key, value in head.values.items()}
    note = {key: values.pop(key) for key in NOTE_KEYS if key in values}
    slug = values.pop("deck", None) or slug_from(name)
    return Record(deck=slug, line=line, **values), note


def passed_over(heads: Sequence[Head]) -> list[Finding]:
    """One note a deck: which keys of front matter are passed over."""
    told = [head for head in heads if head.foreign]
    if not told:
        return []
    keys = list(
        dict.fromkeys(key for head in told for key in sorted(head.foreign, key=head.foreign.__getitem__))
    )
    named = ", ".join(f"`{shown(one_line(key))[:40]}`" for key in keys[:MOST_NAMED])
    more = f" and {len(keys) - MOST_NAMED} more" if len(keys) > MOST_NAMED else ""
    where = f" of {len(told)} notes" if len(told) > 1 else ""
    near = "".join(dict.fromkeys(map(meant, keys)))
    message = f"front matter{where} holds keys that are passed over: {named}{more}"
    help = (
        f"{near}what holds for the deck stands in the record, in deck.md; a note takes `topic` and `source`"
    )
    return [finding("other-keys", Place(told[0].file, min(told[0].foreign.values())), message, help)]
