"""A block as plain text, what belongs to it, and the footnotes of a note."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import takewhile

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.text import one_line
from recall.kinds.limits.words import is_condition, quantity_above
from recall.kinds.model import Scope
from recall.kinds.prose.sentence import has_verb
from recall.notes.model import Block, Code, Definitions, Heading, List, Note, Paragraph, Table, Text
from recall.quantity import header_parts

_EXCEPTING = re.any_case(r"\b(?:except|same|otherwise|instead|differ\w*|but)\b")
_NO_NAME = re.any_case(
    r"\b(?:limits?|limitations?|values?|numbers?|figures?|data|settings?|parameters?|following|all|these|speeds?|below)\b"
)
_SAYS_LIMITS = re.any_case(
    r"^(?:the )?(?:limits?|limitations?|values?|figures?|numbers?|settings?|speeds?) (?=\w+ \w)",
)
"""Words before a condition: `Limits at night`."""
_IN_UNIT = re.compile(r"in \S+$")
_MOST_NAME = 5
_TITLE = re.compile(r"([^.:;!?()]{3,60}?):?(?:\s*\([^()]*\))?:?")
_NOTE_BELOW = re.compile(r"\[\^([\w-]{1,30})\]:\s+(\S.*)|\\?((?:[†‡§]|(?<=\\)\*)(?:\\?[*†‡§]){0,2})\s+(\S.*)")


def plain_of(block: Block) -> str:
    """A block as plain text, for an answer that is a whole section."""
    if isinstance(block, Heading | Paragraph):
        return block.text.plain.strip()
    if isinstance(block, Code):
        return block.plain.rstrip()
    if isinstance(block, Table):
        rows = [[header.plain for header in block.headers]] if any(block.headers) else []
        rows += [[cell.plain for cell in (*row.cells, *row.spare)] for row in block.rows]
        return "\n".join(" | ".join(one_line(cell) for cell in row) for row in rows)
    if isinstance(block, Definitions):
        return "\n".join(
            f"{one_line(entry.term.plain)}: {'; '.join(one_line(m.plain) for m in entry.meanings)}"
            for entry in block.entries
        )
    lines: list[str] = []
    for number, item in enumerate(block.items, 1):
        lines.append((f"{number}. " if block.ordered else "- ") + one_line(item.text.plain))
        for below in item.below:
            lines += ["  " + line for line in plain_of(below).splitlines()]
    return "\n".join(lines)


def running(blocks: Iterable[Block]) -> Iterator[Text]:
    """The texts of paragraphs and of items of lists, in order."""
    for block in blocks:
        if isinstance(block, Paragraph):
            yield block.text
        for item in block.items if isinstance(block, List) else ():
            yield item.text
            yield from running(item.below)


def footnotes_of(note: Note) -> dict[str, str]:
    """The footnotes of a note (`[^1]: 5 min`, `† In climb.`), the first of each mark."""
    found: dict[str, str] = {}
    for line in note.lines:
        if line[:1] in "[\\†‡§" and line and (said := _NOTE_BELOW.match(line)):
            mark, words = said[1] or said[3].replace("\\", ""), said[2] or said[4]
            found.setdefault(mark, one_line(words).rstrip("."))
    return found


def leads(block: Paragraph, below: Block) -> bool:
    """A line that introduces what stands below it, and is no fact of its own."""
    return (
        isinstance(below, List | Table)
        and below.lead is block.text
        and (
            (block.text.bold == "all" and ". " not in block.text.plain)
            or block.text.plain.rstrip().endswith(":")
        )
    )


def stands_below(blocks: Sequence[Block], at: int) -> bool:
    """Whether a block stands below a list or a table of its own heading."""
    above = (blocks[before] for before in range(at - 1, -1, -1))
    return any(
        isinstance(one, List | Table) for one in takewhile(lambda one: not isinstance(one, Heading), above)
    )


def title_over(*blocks: Block) -> str:
    """The bold title that stands over the line above a list or a table: these three blocks; empty for others."""
    if (
        len(blocks) < 3
        or not isinstance(title := blocks[0], Paragraph)
        or not isinstance(blocks[1], Paragraph)
    ):
        return ""
    found = _TITLE.fullmatch(title.text.plain) if leads(blocks[1], blocks[2]) and title.text.runs else None
    run = title.text.runs[0] if found else None
    named = one_line(found[1]) if found else ""
    return named if run and run.bold and one_line(run.text).rstrip(":") == named else ""


def led(block: List | Table, scope: Scope) -> Scope | None:
    """What holds for a list or a table by the line above it: a condition of all of it (`With flaps 15:`), or a name
    that tells it from others under its heading (`Left engine:`). None where it is said of others too (`as above,
    except:`)."""
    lead = one_line(block.lead.plain) if block.lead else ""
    if block.lead is None or not lead or not leads(Paragraph(block.lead, block.topic), block):
        return scope
    label = header_parts(lead.rstrip(":. "))
    if _EXCEPTING.search(lead):
        return None
    said = _SAYS_LIMITS.sub("", lead.rstrip(":. ") if label.unit is None else label.name)
    if (
        is_condition(said)
        and (label.unit is None or " " in said)
        and not (said != lead and _IN_UNIT.match(said))
    ):
        return replace(scope, under=said)
    measured = label.unit is not None and quantity_above((label.name,)) != ""
    other = label.unit is not None or _NO_NAME.search(label.name)
    if (
        not label.name
        or len(label.name.split()) > _MOST_NAME
        or has_verb(label.name)
        or (other and not measured)
    ):
        return scope
    return replace(scope, topic=(*scope.topic, label.name))


def owned_by(heading: Heading, blocks: Sequence[Block], at: int) -> Sequence[Block]:
    """The blocks below a heading down to the next one of its level or above."""
    below = blocks[at:]
    ends = (end for end, one in enumerate(below) if isinstance(one, Heading) and one.level <= heading.level)
    return below[: next(ends, None)]
