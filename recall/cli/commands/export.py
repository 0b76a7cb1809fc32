"""`recall export`: sheets and cards for paper, and open formats for other programs."""

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.files import write_file
from recall.base.text import count
from recall.cli.options import StoreOption, day, known_kind, store_path, whole
from recall.cli.wish import Wish

What = Annotated[
    str,
    typer.Argument(
        metavar="FORMAT",
        help="sheet, cards, table, questions (from notes); calendar, log, hand-in (from the store); page; samples.",
        show_default=False,
    ),
]
Notes = Annotated[
    Path | None,
    typer.Argument(help="Notes; for calendar and log a deck that is loaded.", show_default=False),
]
Form = Annotated[
    str,
    typer.Option(
        "--format",
        metavar="FORMAT",
        help="sheet: html, pdf; cards: pdf; table: csv, json.",
        show_default=False,
    ),
]
Out = Annotated[
    Path | None,
    typer.Option(
        "--out", metavar="FILE", help="Write this file instead of standard output.", show_default=False
    ),
]
Paper = Annotated[str, typer.Option("--paper", metavar="PAPER", help="a4 or letter.")]
Edge = Annotated[
    str,
    typer.Option("--edge", metavar="EDGE", help="Over which edge the printer turns a sheet: long or short."),
]
Of = Annotated[str, typer.Option("--of", metavar="WHAT", help="A table of cards, or of points.")]
Topic = Annotated[
    str,
    typer.Option("--topic", metavar="TOPIC", help="Only this topic and those below.", show_default=False),
]
OfKind = Annotated[str, typer.Option("--kind", metavar="KIND", help="Only this kind.", show_default=False)]
Critical = Annotated[bool, typer.Option("--critical", help="Only what must be known without fail.")]
Aircraft = Annotated[
    str,
    typer.Option(
        "--aircraft",
        metavar="AIRCRAFT",
        help="Only what holds for this variant or serial number.",
        show_default=False,
    ),
]
Days = Annotated[
    int, typer.Option("--days", metavar="DAYS", parser=whole("days", 1, 366), help="Days of the calendar.")
]
On = Annotated[date | None, typer.Option("--on", metavar="DATE", parser=day, help="Day of the checkride.")]
Name = Annotated[
    str,
    typer.Option(
        "--name",
        metavar="NAME",
        help="Put this name in the log or the hand-in; withheld without it.",
        show_default=False,
    ),
]
Slug = Annotated[str, typer.Option("--deck", metavar="DECK", help="The deck to hand in.", show_default=False)]
ClassKey = Annotated[
    str,
    typer.Option(
        "--for", metavar="KEY", help="The class key that the instructor gave out.", show_default=False
    ),
]
WithAnswers = Annotated[bool, typer.Option("--with-answers", help="Hand in what you typed, too.")]
Withdraw = Annotated[bool, typer.Option("--withdraw", help="Ask the class to take out what you handed in.")]


Runtime = Annotated[
    Path | None,
    typer.Option(
        "--runtime",
        metavar="FOLDER",
        help="For the page: the unpacked npm package `pyodide`, to take along.",
        show_default=False,
    ),
]
RuntimeAt = Annotated[
    str,
    typer.Option(
        "--runtime-at",
        metavar="ADDRESS",
        help="For the page: where a browser fetches it once instead; checked by its hashes.",
        show_default=False,
    ),
]


def export(
    what: What,
    path: Notes = None,
    format: Form = "",
    out: Out = None,
    paper: Paper = "a4",
    edge: Edge = "long",
    of: Of = "cards",
    topic: Topic = "",
    kind: OfKind = "",
    critical: Critical = False,
    aircraft: Aircraft = "",
    days: Days = 28,
    on: On = None,
    name: Name = "",
    deck: Slug = "",
    to: ClassKey = "",
    with_answers: WithAnswers = False,
    withdraw: Withdraw = False,
    runtime: Runtime = None,
    runtime_at: RuntimeAt = "",
    store: StoreOption = None,
) -> None:
    """Write a sheet, cards to cut out, tables, a calendar.

    Also a log of reviews, and questions, for other programs; and a hand-in for a class, sealed for its key.

    Example: recall export sheet decks/skerry --format pdf --out skerry.pdf
    """
    if what not in (*_EXPORTS, "page", "samples"):
        raise RecallError(
            f"nothing is exported as `{what}`", f"it is one of: {', '.join(_EXPORTS)}, page, samples"
        )
    known_kind(kind or None)
    wish = Wish(
        path, format, out, paper, edge, of, topic, kind, critical, days, on, name, store, deck, to, with_answers,
        withdraw, runtime, runtime_at, aircraft,
    )  # fmt: skip
    if what == "page":
        from recall.cli.handing import page

        page(wish)
        return
    if what == "samples":
        _samples(wish)
        return
    if out is None and sys.stdout.isatty() and (what in _BINARY or format == "pdf"):
        raise RecallError("this isn't for a terminal", f"write a file: recall export {what} … --out FILE")
    written = _EXPORTS[what](wish)
    content = written.encode() if isinstance(written, str) else written
    if out is not None:
        out.parent.mkdir(parents=True, exist_ok=True)
        write_file(out, content)
        sys.stderr.write(f"written: {out}\n")
        return
    sys.stdout.flush()
    sys.stdout.buffer.write(content)


def _sheet(wish: Wish) -> str | bytes:
    from recall.publish.sheet import sheet_of

    form, sheet = wish.form("html", "pdf"), sheet_of(wish.part(wish.deck()), only=wish.only)
    if form == "html":
        from recall.publish.sheet_html import sheet_html

        return sheet_html(sheet)
    from recall.publish.sheet_pdf import sheet_pdf

    return sheet_pdf(sheet, wish.paper)


def _cards(wish: Wish) -> bytes:
    from recall.publish.cards_pdf import cards_pdf

    wish.form("pdf")
    deck = wish.deck()
    return cards_pdf(deck, wish.cards(deck), wish.paper, wish.edge)


def _table(wish: Wish) -> str:
    from dataclasses import replace

    from recall.publish.tables import as_csv, as_json_lines, cards_table, points_table

    form = wish.form("csv", "json")
    if wish.of not in ("cards", "points"):
        raise RecallError(f"there is no table of `{wish.of}`", "it is --of cards, or --of points")
    decks = wish.decks()
    if wish.of == "points":
        rows = points_table(decks)
    else:
        rows = cards_table(replace(deck, cards=tuple(wish.cards(deck))) for deck in decks)
    return as_csv(rows) if form == "csv" else as_json_lines(rows)


def _questions(wish: Wish) -> bytes:
    from recall.publish.questions import questions

    wish.form("zip")
    deck = wish.deck()
    cards = wish.cards(deck)
    content, items = questions(deck, cards)
    if not items:
        raise RecallError(
            "none of these cards makes a question to choose, type or order", "ask for more cards"
        )
    sys.stderr.write(f"{count(len(items), 'question')} of {count(len(cards), 'card')}\n")
    return content


def _slugs(wish: Wish, loaded: Sequence[str]) -> list[str]:
    """The decks at the path, which must be loaded; none for all."""
    if wish.path is None:
        return []
    slugs = [deck.record.deck for deck in wish.decks()]
    if missing := [slug for slug in slugs if slug not in loaded]:
        raise RecallError(f"the deck `{missing[0]}` isn't loaded", f"load it first: recall load {wish.path}")
    return slugs


def _calendar(wish: Wish) -> str:
    from recall.publish.calendar import calendar
    from recall.publish.log import person_of
    from recall.store import Store

    wish.form("ics")
    clock = SystemClock()
    with Store.open(store_path(wish.store), clock, create=False) as store:
        titles = {deck.slug: str(deck.record.get("title") or deck.slug) for deck in store.decks()}
        slugs = _slugs(wish, list(titles))
        known = store.cards() if not slugs else [card for slug in slugs for card in store.cards(deck=slug)]
        days = store.days_ahead(known, wish.days)
        title = ", ".join(titles[slug] for slug in slugs)
        return calendar(days, clock.now(), person=person_of(store), title=title, checkride=wish.on)


def _log(wish: Wish) -> str:
    from recall.publish.log import as_batch, statements
    from recall.store import Store

    wish.form("json")
    with Store.open(store_path(wish.store), SystemClock(), create=False) as store:
        slugs = _slugs(wish, [deck.slug for deck in store.decks()])
        return "".join(as_batch(statements(store, slugs, wish.name)))


def _hand_in(wish: Wish) -> bytes:
    from recall.cli.handing import hand_in

    return hand_in(wish)


def _samples(wish: Wish) -> None:
    """A folder of them."""
    from recall.publish.samples import samples

    deck, folder = wish.deck(), wish.out or Path("exports")
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in samples(deck, wish.cards(deck)).items():
        write_file(folder / file, content)
        sys.stderr.write(f"written: {folder / file}\n")


_BINARY = ("cards", "questions", "hand-in")
_EXPORTS: dict[str, Callable[[Wish], str | bytes]] = {
    "sheet": _sheet,
    "cards": _cards,
    "table": _table,
    "questions": _questions,
    "calendar": _calendar,
    "log": _log,
    "hand-in": _hand_in,
}
