"""What a trainee hands in, gathered from their store, and told in words before it goes out."""

import json
import secrets

from recall.base.errors import RecallError
from recall.base.text import count, one_line, shown
from recall.cohort.handin import COLUMNS, LONGEST_NAME, MARKERS, MODES, HandIn, own_key
from recall.cohort.sealed import public_of
from recall.store import Store
from recall.store.core import by_id
from recall.store.derive import keep_beside
from recall.store.events import milliseconds
from recall.store.histories import read_histories, targets_of
from recall.store.needs import HAND_IN


def gather(
    store: Store, deck: str, to: str, *, answers: bool = False, name: str = "", withdraw: bool = False
) -> tuple[HandIn, bytes]:
    """A hand-in of one deck for one class key, and the seed of the key that signs it. answers: with typed
    words; name: with it goes the memory model that was fitted to this person, which is nobody else's; withdraw: all
    of this trainee is to be taken out again. Raises RecallError for a deck that isn't loaded, or a
    name that no class takes."""
    known = [each.slug for each in store.decks()]
    if deck not in known:
        raise RecallError(f"no deck is called `{deck}`", f"decks are: {', '.join(known) or 'none yet'}")
    name = one_line(name)
    if len(name) > LONGEST_NAME or shown(name) != name:
        raise RecallError(
            f"a name is a line of at most {LONGEST_NAME} characters, none of them hidden", "name another one"
        )
    seed = own_key(_secret(store), to)
    bare = HandIn(to, public_of(seed), deck, milliseconds(store.clock.now()), name, withdraw)
    if withdraw:
        return bare, seed
    parameters = bare.name and store.one("SELECT value FROM state WHERE name = 'parameters'")
    with store.reading():
        targets = targets_of(store, {card.id for card in store.cards(decks=[deck], everything=True)})
        found = read_histories(store, targets)
        rows = by_id(
            store, "SELECT no, ok, answer, seconds, body FROM event WHERE no IN", [one.no for one in found]
        )
        said = {no: (ok, answer, seconds, json.loads(body)) for no, ok, answer, seconds, body in rows}
    cards: dict[str, int] = {}
    hashes: dict[str, int] = {}
    revisions: dict[str, int] = {}
    columns: dict[str, list[object]] = {column: [] for column in COLUMNS}
    given = []
    for at, _, day, mark, _, no in found:
        ok, answer, seconds, body = said[no]
        row = (
            cards.setdefault(targets[at].id, len(cards)),
            hashes.setdefault(answer, len(hashes)),
            revisions.setdefault(body["revision"], len(revisions)),
            day,
            mark,
            -1 if ok is None else ok,
            None if seconds is None else round(seconds, 1),
            MODES.index(body["mode"]),
            MARKERS.index(body.get("marked_by") or "program"),
            int(bool(body.get("claimed"))),
            int(bool(body.get("overruled"))),
        )
        for column, value in zip(COLUMNS, row, strict=True):
            columns[column].append(value)
        given.append(body["given"] if answers else "")
    weights = tuple(json.loads(parameters)) if parameters else ()
    made = HandIn(
        to, bare.person, deck, bare.made, bare.name, False, weights, tuple(cards), tuple(hashes), tuple(revisions),
        columns, tuple(given) if answers else (),
    )  # fmt: skip
    return made, seed


def _secret(store: Store) -> bytes:
    """What this person's keys are made from: the first that any of their devices made, kept among their
    events."""
    rows = store.rows("SELECT body FROM event WHERE type = 'setting' AND type <> 'reviewed' ORDER BY id")
    for (body,) in rows:
        plain = json.loads(body)
        if plain["name"] == HAND_IN:
            return bytes.fromhex(plain["value"])
    made = secrets.token_bytes(32)
    keep_beside(store, HAND_IN, made.hex())
    return made


ASKED = "--with-answers hands it in", "--name hands it in"
"""How typed words and the name are handed in, at a terminal."""


def told(made: HandIn, asked: tuple[str, str] = ASKED) -> list[str]:
    """What goes out and what doesn't, a sentence each."""
    known = (
        f"The class knows you as {made.called}, which no other class does. Two classes that compared their"
        " answers could still tell you by the days on which you learned."
    )
    if made.name:
        known = f"It carries your name: {made.name}."
    if made.withdrawn:
        return [f"Asks the class to take out all that you handed in of {made.deck}.", known]
    days = count(len(set(made.answers["day"])), "day")
    typed = ", and what you typed" if made.given else ""
    stays = ["remarks, settings, other decks"]
    stays += [] if made.given else [f"what you typed ({asked[0]})"]
    stays += [] if made.name else [f"your name, and with it your own memory's figures ({asked[1]})"]
    return [
        f"Goes out: {count(made.count, 'answer')} to {count(len(made.cards), 'card')} of {made.deck}, on {days};"
        f" of each the card, the day, right or wrong, the mark and who gave it, the seconds, the revision{typed}"
        f"{'; and what your memory was tuned to' if made.parameters else ''}.",
        f"Stays with you: {'; '.join(stays)}.",
        known,
    ]
