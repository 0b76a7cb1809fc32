"""The tables of a store; the steps from each earlier version to this one stand in `steps.py`."""

from recall.store.events import checksum_of

APPLICATION_ID = 0x52434C4C
"""Marks the file as a store (`RCLL`)."""

TRUTH = """
CREATE TABLE event (
    no INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE CHECK (id GLOB '?????????????-????????????????-??????'),
    at INTEGER GENERATED ALWAYS AS (CAST(substr(id, 1, 13) AS INTEGER)) VIRTUAL,
    writer TEXT GENERATED ALWAYS AS (substr(id, 15, 16)) VIRTUAL,
    n INTEGER GENERATED ALWAYS AS (CAST(substr(id, 32) AS INTEGER)) VIRTUAL,
    type TEXT NOT NULL,
    card TEXT,
    day INTEGER,
    mark INTEGER CHECK (mark BETWEEN 1 AND 4),
    ok INTEGER CHECK (ok IN (0, 1)),
    answer TEXT,
    seconds REAL,
    body TEXT NOT NULL CHECK (json_valid(body))
) STRICT;
CREATE INDEX event_card ON event (card) WHERE card IS NOT NULL;
CREATE INDEX event_rare ON event (type) WHERE type <> 'reviewed';
CREATE INDEX event_wrong ON event (day) WHERE ok = 0;
CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
CREATE TRIGGER event_kept BEFORE DELETE ON event BEGIN SELECT RAISE(ABORT, 'events are never deleted'); END;
CREATE TABLE local (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE source (root TEXT PRIMARY KEY, deck TEXT NOT NULL, load TEXT NOT NULL, fingerprint TEXT NOT NULL)
    STRICT, WITHOUT ROWID;
"""
"""Events, and what concerns this file alone: `local` its machine and backups, `source` which folder was loaded.

An id is the moment (milliseconds), the writer and its count, so that the order of ids is the order of replay.
"""

DERIVED = """
CREATE TABLE state (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE undone (review TEXT PRIMARY KEY) STRICT, WITHOUT ROWID;
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE remark (card TEXT PRIMARY KEY, text TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE correction (writer TEXT PRIMARY KEY, shift INTEGER NOT NULL, days INTEGER NOT NULL)
    STRICT, WITHOUT ROWID;
CREATE TABLE load (
    id TEXT PRIMARY KEY,
    deck TEXT NOT NULL,
    revision TEXT NOT NULL,
    effective TEXT,
    formerly TEXT NOT NULL,
    day INTEGER NOT NULL,
    content TEXT NOT NULL,
    notes TEXT NOT NULL,
    reading TEXT NOT NULL,
    earlier TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX load_deck ON load (deck);
CREATE TABLE deck (
    slug TEXT PRIMARY KEY,
    chain TEXT NOT NULL,
    current TEXT,
    place TEXT NOT NULL,
    folded INTEGER NOT NULL,
    revision TEXT NOT NULL,
    record TEXT NOT NULL,
    pending INTEGER,
    cards INTEGER NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TABLE link (
    source TEXT NOT NULL, place TEXT NOT NULL, target TEXT NOT NULL, line TEXT NOT NULL,
    PRIMARY KEY (source, place)
) STRICT, WITHOUT ROWID;
CREATE INDEX link_target ON link (target);
CREATE TABLE card (
    no INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    line TEXT NOT NULL,
    deck TEXT NOT NULL,
    point TEXT NOT NULL,
    kind TEXT NOT NULL,
    aspect TEXT NOT NULL,
    topic TEXT NOT NULL,
    applies TEXT NOT NULL,
    file TEXT NOT NULL,
    row INTEGER NOT NULL,
    rank INTEGER NOT NULL,
    critical INTEGER NOT NULL,
    form TEXT NOT NULL,
    source TEXT NOT NULL,
    answer TEXT NOT NULL,
    also TEXT NOT NULL DEFAULT '',
    same TEXT NOT NULL DEFAULT '',
    text TEXT NOT NULL,
    present INTEGER NOT NULL DEFAULT 1,
    paused INTEGER NOT NULL DEFAULT 0,
    epoch TEXT,
    was TEXT,
    since TEXT,
    renewed INTEGER,
    moved INTEGER NOT NULL DEFAULT 0,
    linked INTEGER NOT NULL DEFAULT 0,
    asking INTEGER NOT NULL,
    standing TEXT NOT NULL DEFAULT 'unasked',
    holds REAL,
    difficulty REAL,
    last_day INTEGER,
    due INTEGER,
    fresh INTEGER NOT NULL DEFAULT 0,
    asked INTEGER NOT NULL DEFAULT 0,
    right INTEGER NOT NULL DEFAULT 0,
    first_day INTEGER
) STRICT;
CREATE INDEX card_due ON card (fresh, due, rank) WHERE asking = 1 AND due IS NOT NULL;
CREATE INDEX card_unasked ON card (critical, deck, rank) WHERE asking = 1 AND due IS NULL;
CREATE INDEX card_form ON card (form) WHERE form <> '';
CREATE INDEX card_first ON card (first_day) WHERE first_day IS NOT NULL;
"""
"""All that is computed from events, and can be thrown away.

Of a card `source` is what it was read from, `also` its answer's hashes in later normal forms, `same` all hashes that
its answer had in this epoch; `epoch` is where its answer last changed (NULL: never), `was` and `since` the wording
before and the revision that changed it, `renewed` the day on which that came into force; `fresh` marks a changed
answer not yet asked. Of a load `notes` and `reading` are of which notes and by which program it was read, `earlier`
what it says of loads that don't say. Days are day numbers.
"""

STAYS = """
CREATE TRIGGER event_stays BEFORE UPDATE ON event BEGIN SELECT RAISE(ABORT, 'events are never changed'); END;
"""
SEALING = f"""
DROP TRIGGER event_stays;
ALTER TABLE event ADD COLUMN checksum INTEGER NOT NULL DEFAULT 0;
UPDATE event SET checksum = {checksum_of()};
{STAYS}
"""
"""Since version 4: each event's checksum. Whatever wrote an event without one shows as damage."""

DERIVED_TABLES = ("link", "card", "deck", "load", "correction", "remark", "setting", "undone", "state")

WORDINGS = (
    "DROP TABLE IF EXISTS card; DROP TABLE IF EXISTS text;"
    + "".join(f"DROP TABLE IF EXISTS {table};" for table in DERIVED_TABLES)
    + """
CREATE TABLE text (no INTEGER PRIMARY KEY, hash TEXT NOT NULL UNIQUE, card TEXT NOT NULL) STRICT;
CREATE TRIGGER text_stays BEFORE UPDATE ON text BEGIN SELECT RAISE(ABORT, 'wordings are never changed'); END;
CREATE TRIGGER text_kept BEFORE DELETE ON text BEGIN SELECT RAISE(ABORT, 'wordings are never deleted'); END;
"""
    + DERIVED
)
"""Since version 5: the wordings that events name by their hash stand beside them, once, and not in them; each is its
own checksum. What is derived is made anew."""

SEALED = 4
"""The version from which on events carry checksums."""
WORDED = 5
"""The version from which on wordings stand beside the events."""
VERSIONS = 5
"""Number of steps: the `user_version` of a store of this program."""

DERIVATION = "8"
"""Changes whenever the same events give other derived values: an older store is then derived anew."""
