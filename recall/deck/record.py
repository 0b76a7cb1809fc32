"""The record at the head of a deck: front matter, read strictly, every fault a finding for its key alone."""

import re
from collections.abc import Callable
from datetime import date
from difflib import get_close_matches
from functools import cache
from typing import Any

import yaml

from recall.base.finding import RULES, Finding
from recall.base.text import has_hidden, one_line, shown
from recall.deck.front_matter import YamlReader
from recall.deck.model import Accepted, Blueprint, Record
from recall.kinds.headers import header_name, spellings
from recall.kinds.model import COMMON
from recall.kinds.registry import KINDS
from recall.notes.model import FrontMatter

_SLUG = re.compile(r"[a-z0-9-]{1,64}")
_REVISION = re.compile(r"\d+(?:\.\d+)*")
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
_ALIKE = 0.85


def slug_from(name: str) -> str:
    """A deck's slug made from a folder's or file's name."""
    plain = re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")
    return plain[:64].strip("-") or "deck"


class _FaultError(Exception):
    """A value that isn't what its key asks for: what is wrong, what would be right."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.wrong, self.right = wrong, right


def _text(node: yaml.Node) -> str:
    if not isinstance(node, yaml.ScalarNode):
        raise _FaultError("isn't plain text", "write it as one line of text")
    if has_hidden(str(node.value)):
        raise _FaultError("holds hidden characters", "take them out: they aren't seen")
    return one_line(str(node.value))


def _texts(node: yaml.Node) -> tuple[str, ...]:
    if isinstance(node, yaml.SequenceNode):
        return tuple(_text(part) for part in node.value)
    return (_text(node),) if _text(node) else ()


def _pairs(node: yaml.Node) -> dict[str, yaml.Node]:
    if not isinstance(node, yaml.MappingNode):
        raise _FaultError("isn't a mapping", "write `name: value` lines indented under it")
    pairs: dict[str, yaml.Node] = {}
    for key, value in node.value:
        name = _text(key)
        if name in pairs:
            raise _FaultError(f"gives `{shown(name)}` twice", "keep one of them")
        pairs[name] = value
    return pairs


def _slug(node: yaml.Node) -> str:
    text = _text(node)
    if not _SLUG.fullmatch(text):
        raise _FaultError(
            f"`{shown(text)}` isn't a slug", "use lower-case letters, digits and hyphens, at most 64"
        )
    return text


def _revision(node: yaml.Node) -> str:
    text = _text(node)
    if not _REVISION.fullmatch(text):
        raise _FaultError(
            f"`{shown(text)}` isn't a revision", "use a whole or dotted number, such as 8 or 8.1"
        )
    return text


def _date(node: yaml.Node) -> date:
    text = _text(node)
    try:
        if not re.fullmatch(r"\d{4}-\d{2}-\d{2}", text):
            raise ValueError
        return date.fromisoformat(text)
    except ValueError:
        raise _FaultError(f"`{shown(text)}` isn't a date", "write it as 2027-03-31") from None


def _whole(node: yaml.Node, low: int, high: int) -> int:
    text = _text(node).removesuffix("%").strip()
    if not re.fullmatch(r"\d{1,4}", text) or not low <= int(text) <= high:
        raise _FaultError(f"`{shown(text)}` isn't a whole number from {low} to {high}", "write digits only")
    return int(text)


@cache
def _our_columns() -> frozenset[str]:
    """Every header name that some kind knows."""
    tables = (COMMON, *(kind.headers for kind in KINDS))
    return frozenset(name for table in tables for names in table.values() for name in names)


def _columns(node: yaml.Node) -> dict[str, str]:
    """A deck's own header names → ours. A header of a matrix (`Torque, %`) is no name of ours; a slip is said."""
    columns = {name: _text(value) for name, value in _pairs(node).items()}
    for theirs, ours in columns.items():
        if _our_columns().isdisjoint(spellings(header_name(ours))):
            near = get_close_matches(header_name(ours), _our_columns(), 1, _ALIKE)
            if near:
                raise _FaultError(
                    f"maps `{shown(theirs)}` to `{shown(ours)}`, which no kind knows",
                    f"if `{near[0].capitalize()}` is meant, write it so",
                )
    return columns


def _blueprint(node: yaml.Node) -> Blueprint:
    pairs = _pairs(node)
    if unknown := [name for name in pairs if name not in ("pass", "questions", "each-area")]:
        raise _FaultError(
            f"has an unknown key `{shown(unknown[0])}`", "it takes `pass`, `questions`, `each-area`"
        )
    each = _text(pairs["each-area"]).casefold() if "each-area" in pairs else "false"
    if each not in ("true", "false", "yes", "no"):
        raise _FaultError(f"`each-area` is `{shown(each)}`", "write `true` or `false`")
    questions = _pairs(pairs["questions"]) if "questions" in pairs else {}
    return Blueprint(
        pass_mark=_whole(pairs["pass"], 1, 100) if "pass" in pairs else None,
        questions={topic: _whole(number, 0, 1000) for topic, number in questions.items()},
        each_area=each in ("true", "yes"),
    )


def _accept(node: yaml.Node) -> tuple[Accepted, ...]:
    if not isinstance(node, yaml.SequenceNode):
        raise _FaultError("isn't a list", "write `- rule: …` entries with `where` and `reason`")
    accepted = []
    for entry in node.value:
        pairs = {name: _text(value) for name, value in _pairs(entry).items()}
        if unknown := set(pairs) - {"rule", "where", "reason"}:
            raise _FaultError(
                f"has an unknown key `{shown(min(unknown))}`", "an entry takes `rule`, `where`, `reason`"
            )
        if pairs.get("rule") not in RULES:
            raise _FaultError(
                f"names no rule: `{shown(pairs.get('rule', ''))}`", "name one of the checker's rules"
            )
        if not pairs.get("reason"):
            raise _FaultError(f"accepts `{pairs['rule']}` without a reason", "add `reason: …`")
        accepted.append(Accepted(pairs["rule"], pairs.get("where", ""), pairs["reason"]))
    return tuple(accepted)


_READERS: dict[str, Callable[[yaml.Node], Any]] = {
    "deck": _slug,
    "formerly": _slug,
    **dict.fromkeys(_TEXT_KEYS, _text),
    "revision": _revision,
    "effective": _date,
    "review-by": _date,
    "authors": _texts,
    "columns": _columns,
    "checkride": _blueprint,
    "accept": _accept,
    "topic": _text,
    "source": _text,
}


def _read(
    matter: FrontMatter | None, file: str, keys: tuple[str, ...], unknown_help: str
) -> tuple[dict[str, Any], list[Finding]]:
    if matter is None:
        return {}, []
    reader = YamlReader(file, matter)
    values: dict[str, Any] = {}
    for name, (node, line) in reader.mapping().items():
        if name not in keys:
            reader.fault(line, f"`{shown(name)}` isn't a key of the record", unknown_help)
            continue
        if isinstance(node, yaml.ScalarNode) and not str(node.value).strip():
            continue
        try:
            values[name] = _READERS[name](node)
        except _FaultError as fault:
            reader.fault(line, f"`{name}` {fault.wrong}" if " " in fault.wrong else fault.wrong, fault.right)
    return values, reader.findings


def read_record(
    matter: FrontMatter | None, file: str, name: str, *, lone: bool = False
) -> tuple[Record, dict[str, str], list[Finding]]:
    """The record of a deck, and the `topic` and `source` that its front matter gives for a lone note.

    matter: front matter of `deck.md` or of a lone note, None where there is none; name: the folder's or
    file's, from which the slug is made where none is given.
    """
    keys = RECORD_KEYS + NOTE_KEYS
    values, findings = _read(matter, file, keys, "the record takes " + ", ".join(keys))
    values = {key.replace("-", "_"): value for key, value in values.items()}
    note = {key: values.pop(key) for key in NOTE_KEYS if key in values}
    slug = values.pop("deck", None) or slug_from(name)
    line = matter.line if matter else 1
    return Record(deck=slug, line=line, **values), note, findings


def read_note_record(matter: FrontMatter | None, file: str) -> tuple[dict[str, str], list[Finding]]:
    """The `topic` and `source` of a note that is neither `deck.md` nor alone; anything else is `bad-record`."""
    return _read(
        matter,
        file,
        NOTE_KEYS,
        "a note inside a deck takes `topic` and `source` only; the rest goes in deck.md",
    )
