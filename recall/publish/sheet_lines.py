"""A study sheet as sentences for a sitting."""

from collections.abc import Iterator

from recall.base.text import CAUTION
from recall.publish.sheet import Block, Figure, Sheet, Steps
from recall.session.view import Line


def sheet_lines(sheet: Sheet) -> Iterator[Line]:
    """Sections and topics as heads, a row or step a line."""
    for section in sheet.sections:
        for group in section.groups:
            yield Line("head", f"{section.title}: {group.topic}")
            for block in group.blocks:
                yield from _block(block)
    yield Line("note", CAUTION)


def _block(block: Block) -> Iterator[Line]:
    if isinstance(block, Figure):
        yield Line("about", f"Picture: {block.words} ({block.picture.path})")
        return
    if isinstance(block, Steps):
        yield Line("about", block.title)
        for number, step in enumerate(block.steps, 1):
            lead = f"{number}. " if block.numbered else ""
            yield Line("answer", lead + _marked(step.text, step.critical))
            yield from (Line("about", f"  {text}") for text in step.below)
        yield from (Line("about", text) for text in block.below)
        return
    for row in block.rows:
        subject, *cells = row.cells
        told = [f"{head} {cell}" for head, cell in zip(block.heads[1:], cells, strict=True) if cell]
        alone = len(block.heads) == 2
        yield Line("answer", _marked(f"{subject}: {cells[0] if alone else '; '.join(told)}", row.critical))


def _marked(text: str, critical: bool) -> str:
    return f"{text}  (critical)" if critical else text
