"""What a published file must be for a store to take it: of a key that its deck is held to, no step back, and no other
content under a number that is known."""

import hashlib
from collections.abc import Mapping

from recall.base.errors import RecallError, UnverifiedError
from recall.publish.asked import CARDS
from recall.publish.hand_over import FILE, HandOver, family, followed, read_hand_overs
from recall.publish.revision import SOURCES, Verified
from recall.publish.sign import spoken
from recall.store import Store
from recall.store.loads import line_of
from recall.store.needs import MOST_KEYS
from recall.store.publishers import given_up, lineage, note_signed, overtaken, pin, pinned, signed_as

_LEAST_TYPED = 16
"""Digits of a key that a person must have compared: 64 bits, more than anybody can try out."""


def taken(store: Store, found: Verified, formerly: str, new_key: str = "") -> None:
    """Hold to the keys of a file and note what was signed; inside the transaction that loads it, before the load.

    formerly: the name that the deck had; new_key: the short form of a key, as the person had it from the instructor.
    Raises UnverifiedError for a key that the deck isn't held to, RecallError for a step back or for another content
    under a number that is known.
    """
    path, slug, revision, signer = found.path, found.slug, found.revision, found.signer
    names = lineage(store, slug, formerly)
    known = pinned(store)
    overs = read_hand_overs(found.payload.get(FILE, b"").decode("ascii", "replace"))
    chains = sorted({line_of(store, name)[1] for name in names})
    lines = [held for chain in chains if (held := {name: known[name] for name in chain if name in known})]
    # Whoever joins two decks must be trusted with both.
    afters = [_keys_after(found, line, overs, given_up(store, line), new_key) for line in lines]
    unheld = family(signer, overs) if signer else frozenset[str]()
    after = frozenset.intersection(*afters) if afters else unheld
    if len(after) > MOST_KEYS:
        raise UnverifiedError(
            f"{path.name} would have {slug} held to {len(after)} keys; {MOST_KEYS} is the most",
            "ask the instructor",
        )
    if newest := overtaken(store, names, revision):
        raise RecallError(
            f"{path.name} is revision {revision} of {slug}; revision {newest} is in force already",
            "load the newer one; a step back would bring withdrawn answers back",
        )
    if not signer:
        return
    notes = _digest(found.sums)
    if any(key == signer and other != notes for key, other in signed_as(store, names, revision)):
        raise RecallError(
            f"{path.name} isn't the revision {revision} of {slug} that was loaded: the same key signed other notes"
            " under that number",
            "ask the instructor, who should publish it under a higher number",
        )
    for name in sorted({slug}.union(*lines)):
        if known.get(name) != after:
            pin(store, name, after)
    if (signer, notes) not in signed_as(store, [slug], revision):
        note_signed(store, slug, revision, signer, notes)


def _keys_after(
    found: Verified,
    line: Mapping[str, frozenset[str]],
    overs: set[HandOver],
    gone: frozenset[str],
    new_key: str,
) -> frozenset[str]:
    """The keys to hold to from now on. line: those that a deck was held to under each of its names, the newest name
    last; gone: those that were given up, which no hand-over brings back: an old one could else be shown again."""
    path, signer = found.path, found.signer
    slug, held = [*line.items()][-1]
    if signer in held:
        return held
    so_far = " or ".join(map(spoken, sorted(held)))
    if signer in gone:
        raise UnverifiedError(
            f"{path.name} is signed with a key that was handed over ({spoken(signer)}); `{slug}` is held to {so_far}",
            f"ask the instructor for the newest revision; to begin with any key: recall keys forget {slug}",
        )
    if signer and signer in (after := followed(held, overs)):
        return after - gone
    if not signer:
        raise UnverifiedError(
            f"{path.name} is not signed; `{slug}` was signed with {so_far} so far", "ask the instructor"
        )
    lost = {each for each in overs if each.way == "lost"}
    if signer in (after := followed(held, overs, lost=True)) and lost:
        typed = "".join(new_key.split()).lower()
        if len(typed) >= _LEAST_TYPED and spoken(signer).replace(" ", "").startswith(typed):
            return after
        raise UnverifiedError(
            f"{path.name} is signed with a new key, and says that the one so far, {so_far}, was lost"
            + ("; what was typed isn't the new one's first four groups" if new_key else ""),
            "ask the instructor for it, and type its first four groups or more: recall load FILE --new-key '…'",
        )
    raise UnverifiedError(
        f"{path.name} is signed with another key ({spoken(signer)}); `{slug}` was signed with {so_far} so far",
        f"ask the instructor; if the key was replaced: recall keys forget {slug}",
    )


def _digest(sums: Mapping[str, str]) -> str:
    """Of the notes and of the cards that are asked: what stands beside them another version may write otherwise."""
    whole = hashlib.sha256()
    for name in sorted(sums):
        if name == CARDS or name.startswith(SOURCES):
            whole.update(f"{sums[name]} {name}\n".encode())
    return whole.hexdigest()


def told(before: Mapping[str, frozenset[str]], after: Mapping[str, frozenset[str]]) -> list[str]:
    """What is said aloud of the keys that decks are held to once a file was loaded."""
    lines = []
    for slug in sorted(after):
        was, now = before.get(slug), after[slug]
        if was == now or (was is None and now in before.values()):
            continue
        keys = " or ".join(map(spoken, sorted(now)))
        if was is None:
            lines.append(
                f"First file of {slug}: from now on held to the key {keys}; compare it with what the instructor says."
            )
        else:
            lines.append(f"The key of {slug} was handed over: from now on held to {keys}.")
    return lines
