"""Take a published revision into a store: verified, of the same publisher, and no step back."""

from collections.abc import Callable, Collection
from functools import partial
from pathlib import Path

from recall.base.errors import UnverifiedError
from recall.deck.read import all_kept
from recall.publish.asked import CARDS, format_of, read_cards, whole_deck
from recall.publish.revision import Verified, naming, read_file, read_notes, verify
from recall.publish.trust import taken
from recall.store import Store
from recall.store.core import by_id
from recall.store.reports import LoadReport


def receive(
    store: Store, path: Path, *, replace: bool = False, carry: bool = False, new_key: str = ""
) -> tuple[LoadReport, Verified | None]:
    """Load a published file: what the load did, and what was in it (None where the store has this very file).

    The publisher's key is pinned by the first signed revision of a deck. new_key: see `taken`, as for what it raises;
    the store is then as it was.
    """
    found = verify(path, read_file(path))
    if store.unchanged(path, found.mark) and not (replace or carry):
        return store.as_loaded(str(path.resolve())), None
    with naming(path):
        ours = format_of(found.payload.get(CARDS, b"")) is not None
    with all_kept():
        return _take_in(store, found, new_key, ours=ours, replace=replace, carry=carry), found


def _take_in(
    store: Store, found: Verified, new_key: str, *, ours: bool, replace: bool, carry: bool
) -> LoadReport:
    """Load what was verified. ours: its cards are in a format that is known."""
    if ours:
        load, formerly = _as_published(store, found)
    else:
        deck = read_notes(found, store.today()).deck
        load, formerly = partial(store.load, deck, renamed=found.renamed), deck.record.formerly
    with store.writing():
        taken(store, found, formerly, new_key)
        return load(replace=replace, carry=carry)


def _as_published(store: Store, found: Verified) -> tuple[Callable[..., LoadReport], str]:
    """What loads the cards of a file just as they were published, and the name that the deck had formerly."""

    def known(names: Collection[str]) -> set[str]:
        if store.one("SELECT 1 FROM text") is None:
            return set()
        return {row[0] for row in by_id(store, "SELECT hash FROM text WHERE hash IN", names)}

    place = str(found.path.resolve())
    with naming(found.path):
        content = read_cards(found.payload[CARDS], store.today(), place, found.mark, known, found.renamed)
        if (content.fields["deck"], content.fields["revision"]) != (found.slug, found.revision):
            raise UnverifiedError(
                "its cards are of another deck or revision than its name says", "ask whoever published it"
            )

    from recall.store.load import load

    whole = partial(whole_deck, content, found)
    return partial(load, store, content, whole, decided=True), str(content.fields["formerly"])
