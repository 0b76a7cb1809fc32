"""What each key of a record asks of its value. Imported where there is a record: YAML costs a start."""

from collections.abc import Callable
from datetime import date
from difflib import get_close_matches
from functools import cache
from typing import Any

import yaml

from recall.base import regex as re
from recall.base.finding import RULES
from recall.base.text import has_hidden, one_line, shown
from recall.deck.model import Accepted, Blueprint
from recall.kinds.effectivity import parts_of
from recall.kinds.registry import KINDS
from recall.kinds.tables.headers import COMMON, header_name, spellings

_VARIANT = re.compile(r"([^:,;]+)(?::([^:]*?))?(?=[,;][^:,;]+:|;|$)")
_NAMED = re.compile(r"([^,;]+)()")
_ALIKE = 0.85


class FaultError(Exception):
    """A value that isn't what its key asks for: what is wrong, what would be right."""

    def __init__(self, wrong: str, right: str) -> None:
        super().__init__(wrong)
        self.wrong, self.right = wrong, right


class ShapeError(FaultError):
    """A value of another shape: a list or a mapping where text is due, and so on."""


def _text(node: yaml.Node) -> str:
    if not isinstance(node, yaml.ScalarNode):
        raise ShapeError("isn't plain text", "write it as one line of text")
    if has_hidden(str(node.value)):
        raise FaultError("holds hidden characters", "take them out: they aren't seen")
    return one_line(str(node.value))


def _texts(node: yaml.Node) -> tuple[str, ...]:
    if isinstance(node, yaml.SequenceNode):
        return tuple(_text(part) for part in node.value)
    return (_text(node),) if _text(node) else ()


def _pairs(node: yaml.Node) -> dict[str, yaml.Node]:
    if not isinstance(node, yaml.MappingNode):
        raise ShapeError("isn't a mapping", "write `name: value` lines indented under it")
    pairs: dict[str, yaml.Node] = {}
    for key, value in node.value:
        name = _text(key)
        if name in pairs:
            raise FaultError(f"gives `{shown(name)}` twice", "keep one of them")
        pairs[name] = value
    return pairs


def _matching(pattern: str, what: str, right: str) -> Callable[[yaml.Node], str]:
    def read(node: yaml.Node) -> str:
        text = _text(node)
        if not re.fullmatch(pattern, text):
            raise FaultError(f"`{shown(text)}` isn't {what}", right)
        return text

    return read


_slug = _matching(r"[a-z0-9-]{1,64}", "a slug", "use lower-case letters, digits and hyphens, at most 64")


def _date(node: yaml.Node) -> date:
    text = _text(node)
    try:
        found = date.fromisoformat(text if re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text) else "")
    except ValueError:
        raise FaultError(f"`{shown(text)}` isn't a date", "write it as 2027-03-31") from None
    if not 1970 <= found.year <= 2199:
        raise FaultError(f"`{shown(text)}` is no day from 1970 to 2199", "write it as 2027-03-31")
    return found


def _whole(node: yaml.Node, low: int, high: int) -> int:
    text = _text(node).removesuffix("%").strip()
    if not re.fullmatch(r"[0-9]{1,4}", text) or not low <= int(text) <= high:
        raise FaultError(f"`{shown(text)}` isn't a whole number from {low} to {high}", "write one, in digits")
    return int(text)


@cache
def _our_columns() -> frozenset[str]:
    tables = (COMMON, *(kind.headers for kind in KINDS))
    return frozenset(name for table in tables for names in table.values() for name in names)


def _columns(node: yaml.Node) -> dict[str, str]:
    """A deck's own header names → ours. A header of a matrix (`Torque, %`) is no name of ours; a slip is said."""
    columns = {name: _text(value) for name, value in _pairs(node).items()}
    for theirs, ours in columns.items():
        if _our_columns().isdisjoint(spellings(header_name(ours))):
            near = get_close_matches(header_name(ours), _our_columns(), 1, _ALIKE)
            if near:
                raise FaultError(
                    f"maps `{shown(theirs)}` to `{shown(ours)}`, which no kind knows",
                    f"if `{near[0].capitalize()}` is meant, write it so",
                )
    return columns


def _aircraft(node: yaml.Node) -> dict[str, str]:
    """Variants, each with its serial numbers, if it has any: `6A: 01–09`, a line each, or all in one text."""
    if isinstance(node, yaml.ScalarNode):
        text = _text(node)
        named = _VARIANT.finditer(text) if ":" in text else _NAMED.finditer(text)
        return {found[1].strip(): one_line(found[2] or "") for found in named}
    declared = {name: ", ".join(_texts(value)) for name, value in _pairs(node).items()}
    for name, serials in declared.items():
        if any(first < 0 for _, first, _ in parts_of(serials)):
            raise FaultError(
                f"gives `{shown(serials)}` for `{shown(name)}`", "write its serial numbers: `6A: 01–09`"
            )
    return declared


def _blueprint(node: yaml.Node) -> Blueprint:
    pairs = _pairs(node)
    if unknown := [name for name in pairs if name not in ("pass", "questions", "each-area")]:
        what = f"has an unknown key `{shown(unknown[0])}`"
        raise FaultError(what, "it takes `pass`, `questions`, `each-area`")
    each = _text(pairs["each-area"]).casefold() if "each-area" in pairs else "false"
    if each not in ("true", "false", "yes", "no"):
        raise FaultError(f"`each-area` is `{shown(each)}`", "write `true` or `false`")
    questions = _pairs(pairs["questions"]) if "questions" in pairs else {}
    return Blueprint(
        pass_mark=_whole(pairs["pass"], 1, 100) if "pass" in pairs else None,
        questions={topic: _whole(number, 0, 1000) for topic, number in questions.items()},
        each_area=each in ("true", "yes"),
    )


def _accept(node: yaml.Node) -> tuple[Accepted, ...]:
    if not isinstance(node, yaml.SequenceNode):
        raise ShapeError("isn't a list", "write `- rule: …` entries with `where` and `reason`")
    accepted = []
    for entry in node.value:
        pairs = {name: _text(value) for name, value in _pairs(entry).items()}
        if unknown := set(pairs) - {"rule", "where", "reason"}:
            what = f"has an unknown key `{shown(min(unknown))}`"
            raise FaultError(what, "an entry takes `rule`, `where`, `reason`")
        rule, reason = pairs.get("rule", ""), pairs.get("reason")
        if rule not in RULES:
            raise FaultError(f"names no rule: `{shown(rule)}`", "name one of the checker's rules")
        if not reason:
            raise FaultError(f"accepts `{rule}` without a reason", "add `reason: …`")
        accepted.append(Accepted(rule, pairs.get("where", ""), reason))
    return tuple(accepted)


READERS: dict[str, Callable[[yaml.Node], Any]] = {
    "deck": _slug,
    "formerly": _slug,
    **dict.fromkeys(("title", "authority", "applies-to", "marking", "licence"), _text),
    "revision": _matching(
        r"[0-9]{1,9}(?:\.[0-9]{1,9}){0,7}", "a revision", "use a whole or dotted number, such as 8 or 8.1"
    ),
    "effective": _date,
    "review-by": _date,
    "authors": _texts,
    "aircraft": _aircraft,
    "columns": _columns,
    "checkride": _blueprint,
    "accept": _accept,
    "topic": _text,
    "source": _text,
}
"""By key, the reader of its value. Raises FaultError."""


def blank(node: yaml.Node) -> bool:
    """Whether nothing stands behind a key."""
    return isinstance(node, yaml.ScalarNode) and not str(node.value).strip()
