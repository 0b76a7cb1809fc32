"""Take a published revision into a store: verified, of the same publisher, and no step back."""

from pathlib import Path

from recall.base.errors import RecallError, UnverifiedError
from recall.publish.revision import Revision, mark_of, read_file, read_revision
from recall.publish.sign import spoken
from recall.store import LoadReport, Store
from recall.store.places import as_loaded
from recall.store.publishers import lineage, pin, pinned, revisions
from recall.store.revisions import revision_key


def receive(
    store: Store, path: Path, *, replace: bool = False, carry: bool = False
) -> tuple[LoadReport, Revision | None]:
    """Load a published file: what the load did, and what was in it (None where the store has this very file).

    The publisher's key is pinned by the first signed revision of a deck. Raises UnverifiedError, or RecallError for
    a revision older than the loaded one; the store is then as it was.
    """
    content = read_file(path)
    if store.unchanged(path, mark_of(content)) and not (replace or carry):
        return as_loaded(store, str(path.resolve())), None
    found = read_revision(path, content, store.today())
    record = found.deck.record
    with store.writing():
        names = lineage(store, record.deck, record.formerly)
        _same_publisher(store, path, found, names)
        newest = max(revisions(store, names), key=revision_key, default="")
        if revision_key(record.revision) < revision_key(newest):
            raise RecallError(
                f"{path.name} is revision {record.revision} of {record.deck}; revision {newest} is loaded already",
                "load the newer one; a step back would bring withdrawn answers back",
            )
        report = store.load(found.deck, replace=replace, carry=carry)
        if found.signer and pinned(store).get(record.deck) != found.signer:
            pin(store, record.deck, found.signer)
    return report, found


def _same_publisher(store: Store, path: Path, found: Revision, names: frozenset[str]) -> None:
    """Refuse a file signed with another key than the pinned one, or with none."""
    keys = pinned(store)
    for name in sorted(names & keys.keys()):
        if keys[name] == found.signer:
            continue
        which = f"signed with another key ({spoken(found.signer)})" if found.signer else "not signed"
        raise UnverifiedError(
            f"{path.name} is {which}; `{name}` was signed with {spoken(keys[name])} so far",
            f"ask the instructor; if the key was replaced: recall keys forget {name}",
        )
