"""Take a published revision into a store: verified, of the same publisher, and no step back."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from recall.deck.read import all_kept
from recall.publish.asked import cards_of, whole_deck
from recall.publish.revision import Verified, read_notes, verified
from recall.publish.trust import taken
from recall.store import Store
from recall.store.reports import LoadReport


@all_kept()
def receive(
    store: Store, path: Path, *, replace: bool = False, carry: bool = False, new_key: str = ""
) -> tuple[LoadReport, Verified | None]:
    """Load a published file: what the load did, and what was in it (None where the store has this very file).

    The publisher's key is pinned by the first signed revision of a deck. new_key: see `taken`, as for what it raises;
    the store is then as it was.
    """
    from recall.store.load import load

    found = verified(path)
    if store.unchanged(path, found.mark) and not (replace or carry):
        return store.as_loaded(str(path.resolve())), None

    known = {name for (name,) in store.rows("SELECT hash FROM text")}.__contains__
    take: Callable[..., LoadReport]
    if (content := cards_of(found, store.today(), known)) is not None:
        take = partial(load, store, content, partial(whole_deck, content, found), decided=True)
        formerly = str(content.fields["formerly"])
    else:
        deck = read_notes(found, store.today()).deck
        take, formerly = partial(store.load, deck, renamed=found.renamed), deck.record.formerly
    with store.writing():
        taken(store, found, formerly, new_key)
        return take(replace=replace, carry=carry), found
