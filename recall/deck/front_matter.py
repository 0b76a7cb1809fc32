"""Front matter as YAML, read strictly: no aliases, no tags, and a key that can't be read costs no other."""

from collections.abc import Collection

import yaml

from recall.base import regex as re
from recall.base.dataclass import dataclass, field
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line, shown
from recall.notes.model import FrontMatter

_UNQUOTED = re.compile(r"(?P<key>[\w-]+):[ \t]+(?P<value>[^\s\"'\[{|>&*!%@`#][^\n#]*:[ \t][^\n#]*)")
"""A line whose value holds a colon, out of quotes: no YAML, but it can mean nothing else (`aircraft: 6A: 01–09`)."""
_LARGEST = 65_536
_DEEPEST = 20
_LINES = "write `key: value` lines"


@dataclass(slots=True)
class YamlReader:
    """The keys of one front matter, and what is wrong with it. ours: the keys that are read, where others are left
    to other programs; empty where all are the record's. foreign: those others, each with its
    line."""

    file: str
    matter: FrontMatter
    ours: Collection[str] = ()
    findings: list[Finding] = field(default_factory=list)
    foreign: dict[str, int] = field(default_factory=dict)

    def fault(self, line: int, message: str, help: str, key: str = "") -> None:
        """A fault, unless the key is another program's. line: within the front matter, from 0."""
        if key and self.ours and key not in self.ours:
            self.foreign.setdefault(key, self.matter.line + line)
            return
        self.findings.append(finding("bad-record", Place(self.file, self.matter.line + line), message, help))

    def mapping(self) -> dict[str, tuple[yaml.Node, int]]:
        """Top-level keys with their value node and 0-based line; faults become findings for their key alone."""
        if len(self.matter.yaml) > _LARGEST:
            self.fault(0, f"the record is longer than {_LARGEST} characters", "keep the record short")
            return {}
        found: dict[str, tuple[yaml.Node, int]] = {}
        for line, text in _key_by_key(self.matter.yaml):
            for key, value in self._pairs(text, line):
                at, name = line + key.start_mark.line, str(key.value)
                if not isinstance(key, yaml.ScalarNode):
                    self.fault(at, "a key of the record isn't plain text", _LINES)
                elif name in found:
                    self.fault(at, f"`{shown(name)}` is given twice in the record", "keep one of them", name)
                else:
                    found[name] = (value, at)
        return found

    def _pairs(self, text: str, line: int) -> list[tuple[yaml.Node, yaml.Node]]:
        """Keys and values of a part of the record; none where it can't be read, which is said."""
        name = text.partition(":")[0].strip()
        try:
            node = yaml.compose(text, Loader=_Strict)
        except _UnfitError as fault:
            self.fault(line + fault.line, fault.what, fault.help, name)
            return []
        except yaml.YAMLError as error:
            if plain := _UNQUOTED.fullmatch(text.rstrip()):
                value = plain["value"].replace("\\", "\\\\").replace('"', '\\"')
                return self._pairs(f'{plain["key"]}: "{value}"', line)
            mark = getattr(error, "problem_mark", None)
            problem = one_line(str(getattr(error, "problem", None) or "it can't be read"))
            what = f"the record isn't valid YAML: {shown(problem)}"
            help = "write `key: value` lines; put a value with a colon in quotes"
            self.fault(line + (mark.line if mark else 0), what, help, name)
            return []
        if node is not None and not isinstance(node, yaml.MappingNode):
            self.fault(line, "the record isn't a list of keys", f"{_LINES} between the `---` fences")
            return []
        return list(node.value) if node is not None else []


class _UnfitError(Exception):
    """YAML that a record doesn't take. line: from 0."""

    def __init__(self, line: int, what: str, help: str) -> None:
        super().__init__(what)
        self.line, self.what, self.help = line, what, help


class _Strict(yaml.BaseLoader):
    """Takes no alias, no anchor, no tag, and no deep nesting."""

    deep = 0

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        event = self.peek_event()  # type: ignore[no-untyped-call]
        line = event.start_mark.line
        if event.anchor or getattr(event, "tag", None):
            raise _UnfitError(line, "the record uses an alias or a tag", "write the value out in full")
        if self.deep > _DEEPEST:
            raise _UnfitError(line, "the record is nested too deep", "keep it flat")
        self.deep += 1
        node: yaml.Node | None = super().compose_node(parent, index)
        self.deep -= 1
        return node


def _key_by_key(text: str) -> list[tuple[int, str]]:
    """The record cut before each line that begins with a key, so that one that can't be read costs no other."""
    parts: list[tuple[int, list[str]]] = []
    for number, line in enumerate(text.split("\n")):
        if not parts or re.match(r"[^\s#\-][^:]*:(?:\s|$)", line):
            parts.append((number, []))
        parts[-1][1].append(line)
    return [(number, "\n".join(lines)) for number, lines in parts]
