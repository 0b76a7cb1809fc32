"""`recall export`: sheets and cards for paper, and open formats for other programs."""

import sys
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import Annotated

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.files import make_folder, see_folder, write_file
from recall.base.text import count
from recall.cli.handing import hand_in, page
from recall.cli.options import (
    StoreOption,
    argument,
    day,
    known_kind,
    option,
    place,
    see_errors,
    store_path,
    stored,
    whole,
)
from recall.cli.wish import Wish


def export(
    what: Annotated[
        str,
        argument(
            "sheet, cards, table, questions (from notes); calendar, log, hand-in (from the store); page; samples.",
            "FORMAT",
        ),
    ],
    path: Annotated[Path | None, place("Notes; for calendar and log a deck that is loaded.")] = None,
    format: Annotated[str, option("--format FORMAT", "sheet: html, pdf; cards: pdf; table: csv, json.")] = "",
    out: Annotated[
        Path | None, option("--out FILE", "Write this file instead of standard output (`-`).")
    ] = None,
    paper: Annotated[str, option("--paper PAPER", "a4 or letter.")] = "a4",
    edge: Annotated[
        str, option("--edge EDGE", "Over which edge the printer turns a sheet: long or short.")
    ] = "long",
    of: Annotated[str, option("--of WHAT", "A table of cards, or of points.")] = "cards",
    topic: Annotated[str, option("--topic TOPIC", "Only this topic and those below.")] = "",
    kind: Annotated[str, option("--kind KIND", "Only this kind.")] = "",
    critical: Annotated[bool, option("--critical", "Only what must be known without fail.")] = False,
    aircraft: Annotated[
        str, option("--aircraft AIRCRAFT", "Only what holds for this variant or serial number.")
    ] = "",
    days: Annotated[int, option("--days DAYS", "Days of the calendar.", whole("days", 1, 366))] = 28,
    on: Annotated[date | None, option("--on DATE", "Day of the checkride.", day)] = None,
    name: Annotated[
        str, option("--name NAME", "Put this name in the log or the hand-in; withheld without it.")
    ] = "",
    slug: Annotated[str, option("--deck DECK", "The deck to hand in.")] = "",
    to: Annotated[str, option("--for KEY", "The class key that the instructor gave out.")] = "",
    with_answers: Annotated[bool, option("--with-answers", "Hand in what you typed, too.")] = False,
    withdraw: Annotated[bool, option("--withdraw", "Ask the class to take out what you handed in.")] = False,
    runtime: Annotated[
        Path | None,
        option("--runtime FOLDER", "For the page: the unpacked npm package `pyodide`, to take along."),
    ] = None,
    runtime_at: Annotated[
        str,
        option(
            "--runtime-at ADDRESS",
            "For the page: where a browser fetches it once instead; checked by its hashes.",
        ),
    ] = "",
    store: StoreOption = None,
) -> None:
    """Write a sheet, cards to cut out, tables, a calendar.

    Also a log of reviews, and questions, for other programs; and a hand-in for a class, sealed for its key.

    Example: recall export sheet decks/skerry --format pdf --out skerry.pdf
    """
    out = None if out == Path("-") else out
    wish = Wish(**locals())
    if what not in _EXPORTS:
        raise RecallError(f"nothing is exported as `{what}`", f"it is one of: {', '.join(_EXPORTS)}")
    if strange := [named for named in wish.given() if named not in _EXPORTS[what][1].split()]:
        raise RecallError(
            f"{' and '.join(strange)} {'says' if len(strange) == 1 else 'say'} nothing to the export `{what}`",
            "leave it out, or see `recall export --help`",
        )
    known_kind(kind or None)
    if out is not None:
        see_folder(out)
    if out is None and sys.stdout.isatty() and (what in _BINARY or (what, format) == ("sheet", "pdf")):
        raise RecallError("this isn't for a terminal", f"write a file: recall export {what} … --out FILE")
    if (written := _EXPORTS[what][0](wish)) is not None:
        content = written.encode() if isinstance(written, str) else written
        if out is not None:
            write_file(out, content)
            sys.stderr.write(f"written: {out}\n")
        else:
            sys.stdout.flush()
            sys.stdout.buffer.write(content)
            sys.stdout.flush()
    see_errors(wish.path or "", wish.read)


def _sheet(wish: Wish) -> str | bytes:
    from recall.publish.sheet import sheet_of

    form, sheet = wish.form("html", "pdf"), sheet_of(wish.part(wish.deck()), only=wish.only)
    if form == "html":
        if "--paper" in wish.given():
            raise RecallError("--paper says nothing to a sheet in HTML", "leave it out, or add --format pdf")
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
    from recall.base.dataclass import replace
    from recall.publish.tables import as_csv, as_json_lines, cards_table, points_table

    form = wish.form("csv", "json")
    if wish.of not in ("cards", "points"):
        raise RecallError(f"there is no table of `{wish.of}`", "it is --of cards, or --of points")
    decks = wish.decks()
    if wish.of == "points":
        rows = points_table(map(wish.part, decks))
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
        days = store.due_by_day(wish.days, slugs)
        title = ", ".join(titles[slug] for slug in slugs)
        return calendar(days, clock.now(), person=person_of(store), title=title, checkride=wish.on)


def _log(wish: Wish) -> str:
    from recall.publish.log import as_batch, statements

    wish.form("json")
    with stored(wish.store) as store:
        slugs = _slugs(wish, [deck.slug for deck in store.decks()])
        return "".join(as_batch(statements(store, slugs, wish.name)))


def _samples(wish: Wish) -> None:
    from recall.publish.samples import samples

    deck, folder = wish.deck(), wish.out or Path("exports")
    make_folder(folder)
    for file, content in samples(deck, wish.cards(deck)).items():
        write_file(folder / file, content)
        sys.stderr.write(f"written: {folder / file}\n")


_BINARY = ("cards", "questions", "hand-in")
_PART = "--topic --kind --critical --aircraft"
_EXPORTS: dict[str, tuple[Callable[[Wish], str | bytes | None], str]] = {
    "sheet": (_sheet, f"PATH --format --paper {_PART}"),
    "cards": (_cards, f"PATH --format --paper --edge {_PART}"),
    "table": (_table, f"PATH --format --of {_PART}"),
    "questions": (_questions, f"PATH --format {_PART}"),
    "calendar": (_calendar, "PATH --format --days --on"),
    "log": (_log, "PATH --format --name"),
    "hand-in": (hand_in, "--name --deck --for --with-answers --withdraw"),
    "page": (page, "PATH --runtime --runtime-at"),
    "samples": (_samples, f"PATH {_PART}"),
}
"""What makes each, and what may be said of it."""
