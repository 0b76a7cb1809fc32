"""Opening the store for a command, and loading decks into it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from recall.base.clock import Clock
from recall.base.errors import RecallError
from recall.store import LoadReport, Store
from recall.store.places import as_loaded

Say = Callable[[str], None]
_CAUTIONED = "caution shown"
_ZONED = "zone taken"


@contextmanager
def open_store(path: Path, clock: Clock, *, create: bool = True) -> Iterator["Opened"]:
    """An open store, closed behind the command."""
    with Store.open(path, clock, create=create) as store:
        if store.local(_ZONED) is None:
            _take_zone(store)
        yield Opened(store)


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


@dataclass(slots=True)
class Opened:
    """A store with what a command says of it."""

    store: Store

    def first_use(self) -> bool:
        """Whether this store was never used before; from then on it was."""
        if self.store.local(_CAUTIONED) is not None:
            return False
        with self.store.writing():
            self.store.set_local(_CAUTIONED, self.store.today().isoformat())
        return True

    def cautions(self) -> Iterator[str]:
        """Decks past their date of review, and revisions that wait for their day."""
        today = self.store.today()
        for deck in self.store.decks():
            due = str(deck.record.get("review_by") or "")
            if due and date.fromisoformat(due) < today:
                yield f"Caution: {deck.slug} was to be looked over by {due}; ask whether it still holds."
            if deck.pending is not None:
                yield f"{deck.slug} has a revision that takes effect on {deck.pending}."

    def nothing_due(self, topic: str | None, kind: str | None) -> str:
        """Why there is nothing to ask, and when there will be."""
        if not self.store.decks():
            raise RecallError("there are no cards yet", "name a folder of notes: recall review PATH")
        if topic or kind:
            wanted = " and ".join(f"`{word}`" for word in (topic, kind) if word)
            if not self.store.cards(topic=topic, kind=kind):
                raise RecallError(f"no card is of {wanted}", "`recall weak` lists the topics")
        ahead = next((day for day in self.store.due_by_day(366)[1:] if day.due or day.unasked), None)
        when = f" Next: {ahead.date}, {ahead.due + ahead.unasked} cards." if ahead is not None else ""
        return f"Nothing is due.{when}"

    def weak_lines(self, most: int = 3) -> list[str]:
        """The weakest topics, a line each; those with a miss only."""
        from recall.insight.known import topics_of

        return [
            f"{' / '.join(topic.topic)}: {topic.accuracy:.0%} right in {topic.answers} answers"
            for topic in topics_of(self.store)
            if topic.accuracy is not None and topic.accuracy < 1
        ][:most]


def load_path(
    opened: Opened, path: Path, say: Say, *, replace: bool = False, carry: bool = False
) -> list[str]:
    """Load what changed at a path; the slugs of its decks, in order."""
    return [report.deck for report in load_reports(opened.store, path, say, replace=replace, carry=carry)]


def load_reports(
    store: Store, path: Path, say: Say, *, replace: bool = False, carry: bool = False
) -> list[LoadReport]:
    """Load each deck at a path that isn't as the store has it, and say what changed."""
    from recall.deck.source import find_sources, fingerprint

    if path.suffix.lower() == ".zip" and path.is_file():
        return [_load_published(store, path, say, replace=replace, carry=carry)]
    reports = []
    for source in find_sources(path):
        mark = fingerprint(source)
        if store.unchanged(source.place, mark) and not (replace or carry):
            reports.append(as_loaded(store, str(source.place)))
            continue
        from recall.deck.read import read_deck

        deck, findings = read_deck(source, today=store.today())
        report = store.load(deck, replace=replace, carry=carry)
        reports.append(report)
        errors = sum(said.severity == "error" for said in findings)
        if report.recorded:
            say(_said(report))
        if errors:
            say(f"{errors} error{'s' if errors > 1 else ''} in the notes: `recall lint {path}` shows them.")
        _propose(report, say)
    return reports


def _propose(report: LoadReport, say: Say) -> None:
    for proposal in report.proposals:
        say(
            f"`{proposal.old_subject}` may be `{proposal.new_subject}` now (likeness {proposal.likeness:.2f}): "
            "`recall load --carry` takes its history along."
        )


MOST_TOLD = 12
"""Changed answers that are listed after a load; the rest is counted."""


def _load_published(store: Store, path: Path, say: Say, *, replace: bool, carry: bool) -> LoadReport:
    """Load a published revision: who signed it, what changed, and which answers are other ones now."""
    from recall.publish.receive import receive
    from recall.publish.sign import spoken
    from recall.store.publishers import changed_in

    report, revision = receive(store, path, replace=replace, carry=carry)
    if revision is None:
        return report
    if report.recorded:
        say(_said(report))
    say(f"Signed with the key {spoken(revision.signer)}." if revision.signer else "It is not signed.")
    if report.in_force != report.revision:
        day = revision.deck.record.effective
        say(f"It takes effect on {day}; until then revision {report.in_force or 'none'} is asked.")
    elif report.recorded:
        changed = changed_in(store, report.deck, report.revision)
        for card, was in changed[:MOST_TOLD]:
            say(f"  {card.prompt} was {'; '.join(was)}, now {'; '.join(card.answer)}")
        if len(changed) > MOST_TOLD:
            say(f"  and {len(changed) - MOST_TOLD} more changed answers")
    _propose(report, say)
    return report


def _said(report: LoadReport) -> str:
    named = f"{report.deck}" + (f" revision {report.revision}" if report.revision else "")
    changes = [
        f"{number} {word}"
        for number, word in (
            (report.new, "new"),
            (report.changed, "changed"),
            (report.withdrawn, "withdrawn"),
            (report.moved, "moved"),
        )
        if number
    ]
    return f"Loaded {named}: {report.points} points, {report.cards} cards" + (
        f" ({', '.join(changes)})." if changes else "."
    )
