"""The steps from each earlier version of a store to this one. Imported where a store is made or taken up: the library
draws in whatever tables of numbers are installed, and every start would pay for them."""

import sqlite3

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from recall.store.schema import COUNTING, DERIVED, SEALING, SOURCES, TRUTH

migrations = Migrations("store")


@migrations()
def version_1(db: Database) -> None:
    """Make the first tables."""
    db.executescript(TRUTH)
    db.executescript(DERIVED)


@migrations()
def version_2(db: Database) -> None:
    """Count the cards of each deck without reading them."""
    db.executescript(COUNTING)


@migrations()
def version_3(db: Database) -> None:
    """Keep what cards were read from."""
    db.executescript(SOURCES)


@migrations()
def version_4(db: Database) -> None:
    """Give each event its checksum."""
    db.executescript(SEALING)


def script(connection: sqlite3.Connection, sql: str) -> None:
    """Statements one after another, inside the transaction that is open (the driver's own way would end it)."""
    Database(connection, execute_plugins=False).executescript(sql)


def take(connection: sqlite3.Connection) -> None:
    """Take all steps that a store lacks; inside a transaction, part of it."""
    migrations.apply(Database(connection, execute_plugins=False))
