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
        text = self.matter.yaml
        if len(text) > _LARGEST:
            self.fault(0, f"the record is longer than {_LARGEST} characters", "keep the record short")
            return {}
        pairs = self._pairs_of(text, 0)
        if pairs is None:
            pairs = []
            for line, part in _key_by_key(text):
                pairs += self._pairs_of(part, line, alone=True) or []
        found: dict[str, tuple[yaml.Node, int]] = {}
        for name, node, line in pairs:
            if name in found:
                self.fault(line, f"`{shown(name)}` is given twice in the record", "keep one of them", name)
            else:
                found[name] = (node, line)
        return found

    def _pairs_of(
        self, text: str, line: int, *, alone: bool = False
    ) -> list[tuple[str, yaml.Node, int]] | None:
        """Key, value and line of each pair. None where it is no YAML, which is said only of one key `alone`."""
        try:
            marked, deep = _marked(text)
            node = None if deep is not None else yaml.compose(text, Loader=yaml.BaseLoader)
        except (yaml.YAMLError, RecursionError) as error:
            if alone and (plain := _UNQUOTED.fullmatch(text.rstrip())):
                value = plain["value"].replace("\\", "\\\\").replace('"', '\\"')
                return self._pairs_of(f'{plain["key"]}: "{value}"', line, alone=True)
            if alone:
                mark = getattr(error, "problem_mark", None)
                problem = one_line(str(getattr(error, "problem", None) or "it can't be read"))
                self.fault(line + (mark.line if mark else 0), f"the record isn't valid YAML: {shown(problem)}",
                           "write `key: value` lines; put a value with a colon in quotes",
                           text.partition(":")[0].strip())  # fmt: skip
            return None
        if deep is not None:
            if not alone:
                return None
            self.fault(line + deep, "the record is nested too deep", "keep it flat", text.partition(":")[0])
            return []
        if node is None:
            return []
        if not isinstance(node, yaml.MappingNode):
            self.fault(
                line, "the record isn't a list of keys", "write `key: value` lines between the `---` fences"
            )
            return []
        pairs = []
        starts = [key.start_mark.line for key, _ in node.value]
        for (key, value), first, end in zip(
            node.value, starts, [*starts[1:], text.count("\n") + 1], strict=True
        ):
            told = [at for at in marked if first <= at < max(end, first + 1)]
            if told:
                what = "the record uses an alias or a tag"
                self.fault(line + told[0], what, "write the value out in full", str(key.value))
            elif not isinstance(key, yaml.ScalarNode):
                self.fault(line + first, "a key of the record isn't plain text", "write `key: value` lines")
            else:
                pairs.append((str(key.value), value, line + first))
        return pairs


def _marked(text: str) -> tuple[list[int], int | None]:
    """Lines with an alias, an anchor or a tag; the line where the nesting is too deep."""
    marked: list[int] = []
    depth = 0
    for event in yaml.parse(text, Loader=yaml.BaseLoader):
        line = event.start_mark.line if event.start_mark else 0
        if isinstance(event, yaml.NodeEvent) and (event.anchor or getattr(event, "tag", None)):
            marked.append(line)
        depth += isinstance(event, yaml.CollectionStartEvent) - isinstance(event, yaml.CollectionEndEvent)
        if depth > _DEEPEST:
            return marked, line
    return marked, None


def _key_by_key(text: str) -> list[tuple[int, str]]:
    """The record cut before each line that begins with a key, so that one that can't be read costs no other."""
    parts: list[tuple[int, list[str]]] = []
    for number, line in enumerate(text.split("\n")):
        if not parts or re.match(r"[^\s#\-][^:]*:(?:\s|$)", line):
            parts.append((number, []))
        parts[-1][1].append(line)
    return [(number, "\n".join(lines)) for number, lines in parts]
