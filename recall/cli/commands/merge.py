"""`recall merge`: take in what was answered on other devices."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from recall.base.text import count, fields_of
from recall.cli.options import JsonOption, StoreOption, argument, option, stored
from recall.cli.output import json_line, say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from recall.store import Store
    from recall.store.reports import MergeReport


_HEADER = b"SQLite format 3\0"
"""How each of its files begins; source: the format's page of sqlite.org."""


def merge(
    others: Annotated[
        list[Path], argument("Stores of your other devices, or what they handed over.", "STORE...")
    ],
    same_person: Annotated[bool, option("--same-person", "The other store is this person's too.")] = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Take in what other devices' stores know.

    In any order, any number of times, one result.

    Example: recall merge tablet.db
    """
    from recall.base.errors import RecallError

    for other in others:
        if not other.exists():
            raise RecallError(f"there is no store `{other}`", "name the other device's store")
        if not other.is_file() or not (_is_store(other) or _begins(other).startswith(b"{")):
            raise RecallError(
                f"that is no store and no file of events: {other}",
                "name the other device's store, or what it handed over",
            )
    with stored(store, create=True) as opened:
        for report in _merged(opened, others, same_person=same_person):
            if json:
                json_line({"store": report.path, **fields_of(report, "events", "reviews", "cards")})
            else:
                say(
                    f"{report.path}: {count(report.events, 'new event')}, {report.reviews} of them answers; "
                    f"{count(report.cards, 'card')} brought up to date."
                )


def _merged(store: "Store", others: list[Path], *, same_person: bool) -> "Iterator[MergeReport]":
    """Take one in after the other: a store, or a file of events."""
    from recall.store.gate import LONGEST_LINE

    for other in others:
        if _is_store(other):
            yield from store.merge([other], same_person=same_person)
            continue
        with other.open(encoding="utf-8") as opened:
            lines = iter(lambda: opened.readline(LONGEST_LINE + 1), "")
            yield store.read_json(lines, str(other), same_person=same_person)


def _begins(path: Path) -> bytes:
    with path.open("rb") as opened:
        return opened.read(len(_HEADER))


def _is_store(path: Path) -> bool:
    """Whether a file is a database, or empty."""
    return _begins(path) in (_HEADER, b"")
