"""A note that was changed, read again where it was: from the heading above the change to the first one below it."""

from collections.abc import Mapping
from typing import Any, NamedTuple

from markdown_it.token import Token

from recall.base.dataclass import dataclass, replace
from recall.base.finding import Finding, Place
from recall.notes.grammar import PATIENCE, block_parser
from recall.notes.model import Block, Note, Reference, Run, Start
from recall.notes.page import Page
from recall.notes.walk import Walk

OF_THE_WHOLE = "hidden-character"
"""A rule that is looked after line by line each time."""


class Known(NamedTuple):
    """A note as it was read before, with what was said of it."""

    note: Note
    findings: list[Finding]


@dataclass(frozen=True, slots=True)
class Reread:
    """Blocks, where the note can be parted, and the first token that was read."""

    blocks: tuple[Block, ...]
    starts: tuple[Start, ...]
    first: Token | None


def read_again(page: Page, known: Known) -> Reread | None:
    """The note of a page, with what stands above and below the change as it was; what is said and named there is
    added to the page. None where it must be read whole: a fence is open, a heading above has other words."""
    before, lines = known.note, page.lines
    same, tail = _shared(before.lines, lines)
    top = next((one for one in reversed(before.starts) if one.line <= same), None)
    least = max(len(before.lines) - tail, top.line if top else 0)
    end = next((one for one in before.starts if one.line > least), None)
    by = len(lines) - len(before.lines)
    first, last = (top.line - 1 if top else 0), (end.line + by if end else len(lines))
    patience = page.env[PATIENCE]
    tokens = block_parser().parse("\n".join(lines[first:last]) + "\n", page.env)
    for token in tokens:
        if token.map:
            token.map = [token.map[0] + first, token.map[1] + first]
    walk = Walk(page, tokens, top.above if top else ())
    blocks = walk.blocks()
    if not plain(page.env, patience):
        return None
    found, kept = walk.starts, top.block if top else 0
    if end is not None:
        if not found or found[-1] != replace(end, line=last, block=len(blocks) - 1):
            return None
        blocks.pop()
        found.pop()
    below = before.blocks[end.block :] if end else ()
    start_by = kept + len(blocks) - (end.block if end else 0)
    above_it = [one for one in before.starts if top and one.line < top.line]
    below_it = [one for one in before.starts if end and one.line >= end.line]
    for said in known.findings:
        if said.rule != OF_THE_WHOLE and (place := _kept(said.place, top, end, by)):
            page.findings.append(replace(said, place=place))
    above: list[Reference] = []
    named: list[Reference] = []
    for one in before.references:
        if place := _kept(one.place, top, end, by):
            (above if place.line <= first else named).append(replace(one, place=place))
    page.references[:] = [*above, *page.references, *named]
    return Reread(
        (*before.blocks[:kept], *blocks, *(_down(below, by, {}) if by else below)),
        (
            *above_it,
            *(replace(one, block=one.block + kept) for one in found),
            *(replace(one, line=one.line + by, block=one.block + start_by) for one in below_it),
        ),
        None if top else tokens[0] if tokens else None,
    )


def plain(env: Mapping[str, Any], patience: int) -> bool:
    """Whether one part of a note says nothing of another: no target of a link, and much of the patience is left."""
    return not env.get("references") and int(env[PATIENCE]) > patience // 2


def _shared(one: tuple[str, ...], two: list[str]) -> tuple[int, int]:
    """How many lines are the same at the head of both, and at the foot of what is left."""
    most = min(len(one), len(two))
    head = next((at for at in range(most) if one[at] != two[at]), most)
    tail = next((at for at in range(most - head) if one[-1 - at] != two[-1 - at]), most - head)
    return head, tail


def _kept(place: Place, top: Start | None, end: Start | None, by: int) -> Place | None:
    """Where a place of the note as it was stands now; None in the part that is read again."""
    if top is not None and place.line < top.line:
        return place
    if end is not None and place.line >= end.line:
        return replace(place, line=place.line + by)
    return None


def _down(value: Any, by: int, known: dict[int, Any]) -> Any:
    """What stands some lines further down than it did. What is one thing in it stays one: known, by its identity."""
    if isinstance(value, tuple):
        return tuple(_down(each, by, known) for each in value)
    if isinstance(value, Place):
        return Place(value.file, value.line + by, value.column)
    if value is None or isinstance(value, str | int | Run):
        return value
    if id(value) not in known:
        parts = [_down(getattr(value, name), by, known) for name in value.__slots__]
        known[id(value)] = type(value)(*parts)
    return known[id(value)]
