"""A study sheet as one HTML file that needs nothing else: no script, no link out, every word of a note escaped."""

from base64 import b64encode
from collections.abc import Iterable
from html import escape
from importlib.resources import files

from recall.base.text import CAUTION, shown
from recall.publish.sheet import Block, Figure, Section, Sheet, Steps, Table


def sheet_html(sheet: Sheet) -> str:
    """The whole file. Caution and marking stand at both ends on a screen, and on each page in print."""
    style = files("recall.publish").joinpath("sheet.css").read_text(encoding="utf-8")
    head = _edge(sheet.marking)
    body = "\n".join(_section(number, section) for number, section in enumerate(sheet.sections))
    links = "".join(
        f'<a href="#s{number}">{_text(section.title)}</a>' for number, section in enumerate(sheet.sections)
    )
    facts = "".join(f"<dt>{_text(label)}</dt><dd>{_text(text)}</dd>" for label, text in sheet.facts)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
        'img-src data:">\n'
        f"<title>{_text(sheet.title)}: study sheet</title>\n<style>\n{style}</style>\n</head>\n<body>\n"
        f'<table class="page" role="presentation">\n<thead><tr><td>{head}</td></tr></thead>\n'
        f"<tfoot><tr><td>{_edge(sheet.foot)}</td></tr></tfoot>\n<tbody><tr><td><main>\n"
        f"<h1>{_text(sheet.title)}</h1>\n<dl>{facts}</dl>\n<nav>{links}</nav>\n"
        f'<p>Points marked <span class="mark">critical</span> must be known without fail.</p>\n{body}\n'
        "</main></td></tr></tbody>\n</table>\n</body>\n</html>\n"
    )


def _edge(said: str) -> str:
    first = f"{_text(said)} &middot; " if said else ""
    return f'<div class="edge">{first}<b>{_text(CAUTION)}</b></div>'


def _text(text: str) -> str:
    return escape(shown(text), quote=True)


def _section(number: int, section: Section) -> str:
    parts = [f'<section id="s{number}">', f"<h2>{_text(section.title)}</h2>"]
    if section.diagram:
        parts.append(f"<figure>{section.diagram}</figure>")
    if section.remark:
        parts.append(f"<p>{_text(section.remark)}</p>")
    for group in section.groups:
        if group.topic:
            parts.append(f"<h3>{_text(group.topic)}</h3>")
        for block in group.blocks:
            parts += _block(block, boxed=section.title == "Memory items")
    return "\n".join([*parts, "</section>"])


def _block(block: Block, *, boxed: bool) -> Iterable[str]:
    if isinstance(block, Table):
        yield _table(block)
    elif isinstance(block, Figure):
        content = b64encode(block.picture.content).decode()
        yield (
            f'<figure class="p"><img src="data:{block.picture.type};base64,{content}" '
            f'alt="{_text(block.picture.words)}"><figcaption>{_text(block.words)}</figcaption></figure>'
        )
    else:
        yield f'<div class="memory">{_steps(block)}</div>' if boxed else _steps(block)


_MARK = '<span class="mark">critical</span>'


def _table(table: Table) -> str:
    heads = "".join(f'<th scope="col">{_text(head)}</th>' for head in table.heads)
    rows = []
    for row in table.rows:
        cells = "".join(
            f'<td data-head="{_text(head)}">{_MARK if row.critical and not at else ""}{_text(cell)}</td>'
            for at, (head, cell) in enumerate(zip(table.heads, row.cells, strict=True))
        )
        opening = '<tr class="c">' if row.critical else "<tr>"
        rows.append(f"{opening}{cells}</tr>")
    return (
        f'<table class="t"><thead><tr>{heads}</tr></thead><tbody>\n' + "\n".join(rows) + "\n</tbody></table>"
    )


def _steps(steps: Steps) -> str:
    tag = "ol" if steps.numbered else 'ul class="plain"'
    items = []
    for step in steps.steps:
        mark = _MARK if step.critical and not steps.critical else ""
        below = "".join(f'<div class="below">{_text(line)}</div>' for line in step.below)
        items.append(f"<li>{mark}{_text(step.text)}{below}</li>")
    title = f"<h4>{_MARK if steps.critical else ''}{_text(steps.title)}</h4>"
    under = "".join(f'<div class="below">{_text(line)}</div>' for line in steps.below)
    return f"{title}<{tag}>{''.join(items)}</{tag.split()[0]}>{under}"
