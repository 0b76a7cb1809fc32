"""Opening the store for a command, and loading decks into it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING

from recall.base.clock import Clock
from recall.base.errors import RecallError
from recall.base.text import count, fields_of
from recall.kinds.model import Card
from recall.publish.places import is_published
from recall.session.begin import usual_aircraft
from recall.store import Store

if TYPE_CHECKING:
    from recall.cli.screen import Screen
    from recall.deck.model import Record
    from recall.store.reports import LoadReport

Say = Callable[[str], None]
_CAUTIONED = "caution shown"
_ZONED = "zone taken"
_ERRORS = "errors in "
"""Before the place of a deck: how many its notes had when they were loaded."""


@contextmanager
def open_store(
    path: Path, clock: Clock, *, create: bool = True, notes: Path | None = None
) -> Iterator[Store]:
    """An open store, closed behind the command. notes: a place without any is refused before a store is made."""
    if notes is not None:
        from recall.deck.source import find_sources

        find_sources(notes)
    with Store.open(path, clock, create=create) as store:
        if store.local(_ZONED) is None:
            _take_zone(store)
        yield store


def _take_zone(store: Store) -> None:
    """The home time zone of a store that was just made is this machine's, until the person says otherwise."""
    from tzlocal import get_localzone_name

    try:
        name = get_localzone_name()
        if not store.rows("SELECT 1 FROM setting WHERE name = 'zone'") and name and name != "UTC":
            store.set("zone", name)
    except (RecallError, OSError, LookupError):
        pass
    with store.writing():
        store.set_local(_ZONED, store.settings().zone)


def begin(store: Store, path: Path | None, screen: "Screen") -> list[str]:
    """Say the caution where the store was never used before, and load what changed at a path; the slugs of its
    decks."""
    if store.local(_CAUTIONED) is None:
        with store.writing():
            store.set_local(_CAUTIONED, store.today().isoformat())
        screen.caution()
    reports = [] if path is None else load_reports(store, path, screen.line)[0]
    screen.usual = usual_aircraft(store)
    return [report.deck for report in reports]


def load_reports(
    store: Store, path: Path, say: Say, *, replace: bool = False, carry: bool = False, new_key: str = ""
) -> "tuple[list[LoadReport], int]":
    """Load each deck at a path that isn't as the store has it, and say what changed; with the count of errors that
    stand in the notes. A deck without a point is passed over; RecallError where that leaves none. new_key: of a
    published file, as the instructor told it."""
    from recall.deck.source import find_sources, fingerprint

    if is_published(path):
        return [_load_published(store, path, say, replace=replace, carry=carry, new_key=new_key)], 0
    reports = []
    errors = 0
    for source in find_sources(path):
        mark, place = fingerprint(source), str(source.place)
        if store.unchanged(source.place, mark) and not (replace or carry):
            reports.append(store.as_loaded(place))
            _tell_resting(reports[-1], say)
            errors += int(store.local(f"{_ERRORS}{place}") or 0)
            continue
        from recall.deck.read import read_deck

        deck, _ = read_deck(source, today=store.today())
        errors += deck.errors
        if not deck.cards and deck.record.deck not in {known.slug for known in store.decks()}:
            continue
        _no_step_back(store, deck.record)
        report = store.load(deck, replace=replace, carry=carry)
        with store.writing():
            store.set_local(f"{_ERRORS}{place}", str(deck.errors))
        reports.append(report)
        if report.recorded:
            say(_said(report))
            _unsigned(store, report.deck, deck.record.formerly, say)
            if not _waits(report, say):
                _tell_changed(store, report, say)
        _tell_resting(report, say)
        for proposal in report.proposals:
            before, now = proposal.old_subject, proposal.new_subject
            say(f"`{before}` may be `{now}` now: `recall load --carry` takes its history along.")
    if not reports:
        also = f", and {count(errors, 'error')}" if errors else ""
        shows = "lint {}" if errors else "cards --unread {}"
        raise RecallError(
            f"`{path}` has no points in it{also}", f"`recall {shows.format(quote(str(path)))}` says why"
        )
    if errors:
        shows = "shows it" if errors == 1 else "shows them"
        say(f"{count(errors, 'error')} in the notes: `recall lint {quote(str(path))}` {shows}.")
    return reports, errors


def _tell_resting(report: "LoadReport", say: Say) -> None:
    """Say how many cards aren't asked since their note, or their row, can't be read."""
    if report.paused:
        verb = "rests" if report.paused == 1 else "rest"
        say(f"{count(report.paused, 'card')} of what can't be read {verb} until the notes are mended.")


def _no_step_back(store: Store, record: "Record") -> None:
    """Raises RecallError for notes that would not be asked, since a newer revision is in force."""
    from recall.store.publishers import lineage, overtaken

    if newest := overtaken(store, lineage(store, record.deck, record.formerly), record.revision):
        number = f"are revision {record.revision}" if record.revision else "name no revision"
        raise RecallError(
            f"these notes of {record.deck} {number}; revision {newest} is in force already",
            "give them a higher revision, or go on without them: recall review",
        )


def _tell_changed(store: Store, report: "LoadReport", say: Say) -> None:
    """Of each changed point the first card with the answer before, critical ones first, as many as are told."""
    cards: dict[str, Card] = {}
    for card in map(store.card, report.other):
        cards.setdefault(card.point, card)
    shown = sorted(cards.values(), key=lambda card: not card.critical)[:MOST_TOLD]
    for card in shown:
        was = store.was(card.id)
        texts = was.card.answer.texts if was is not None else ()
        before = f"was {'; '.join(texts)}," if texts else "is"
        say(f"  {card.prompt} {before} now {card.answer.text}")
    if (more := report.changed - len(shown)) > 0:
        say(f"  and {more} more: `recall changes OLD NEW` lists them")


def _waits(report: "LoadReport", say: Say) -> bool:
    """Whether the revision isn't in force; a day that is ahead is said."""
    if report.waits is not None:
        until = f"revision {report.in_force}" if report.in_force else "nothing of it"
        say(f"It takes effect on {report.waits}; until then {until} is asked.")
    return report.in_force != report.revision


MOST_TOLD = 8
"""Changed points that are listed after a load; the rest is counted."""


def _unsigned(store: Store, slug: str, formerly: str, say: Say) -> None:
    """Say that a folder of notes went over a deck whose key is held to."""
    from recall.store.publishers import lineage, pinned

    known = pinned(store)
    held = sorted({key for name in lineage(store, slug, formerly) for key in known.get(name, ())})
    if held:
        from recall.publish.sign import spoken

        say(
            f"Caution: {slug} is held to the key {' or '.join(map(spoken, held))}, and these notes aren't signed. "
            "They are asked all the same, until a signed revision above them is loaded."
        )


def _load_published(
    store: Store, path: Path, say: Say, *, replace: bool, carry: bool, new_key: str = ""
) -> "LoadReport":
    """Load a published revision: who signed it, what changed, and which answers are other ones now."""
    from recall.publish.receive import receive
    from recall.publish.sign import spoken
    from recall.publish.trust import told
    from recall.store.publishers import pinned

    held = pinned(store)
    report, revision = receive(store, path, replace=replace, carry=carry, new_key=new_key)
    if revision is None:
        return report
    if report.recorded:
        say(_said(report))
    say(f"Signed with the key {spoken(revision.signer)}." if revision.signer else "It is not signed.")
    for line in told(held, pinned(store)):
        say(line)
    if not _waits(report, say) and report.recorded:
        _tell_changed(store, report, say)
    return report


def _said(report: "LoadReport") -> str:
    named = f"{report.deck}" + (f" revision {report.revision}" if report.revision else "")
    numbers = fields_of(report, "new", "changed", "withdrawn", "renamed", "moved")
    numbers |= {"no longer asked by this version": report.dropped}
    changes = [f"{number} {word}" for word, number in numbers.items() if number]
    listed = f" ({', '.join(changes)})" if changes else ""
    return f"Loaded {named}: {count(report.points, 'point')}{listed}, {count(report.cards, 'card')}."
