"""The steps from each earlier version of a store to this one. Imported where a store is made or taken up: the library
draws in whatever tables of numbers are installed, and every start would pay for them."""

import sqlite3

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from recall.store.schema import SEALING, TRUTH, WORDINGS

migrations = Migrations("store")


@migrations()
def version_1(db: Database) -> None:
    """Make the first tables."""
    db.executescript(TRUTH)


@migrations()
def version_2(db: Database) -> None:
    """What it added is made anew by the fifth."""


@migrations()
def version_3(db: Database) -> None:
    """What it added is made anew by the fifth."""


@migrations()
def version_4(db: Database) -> None:
    """Give each event its checksum."""
    db.executescript(SEALING)


@migrations()
def version_5(db: Database) -> None:
    """Keep each wording once."""
    db.executescript(WORDINGS)


def script(connection: sqlite3.Connection, sql: str) -> None:
    """Statements one after another, inside the transaction that is open (the driver's own way would end it)."""
    Database(connection, execute_plugins=False).executescript(sql)


def take(connection: sqlite3.Connection) -> None:
    """Take all steps that a store lacks; inside a transaction, part of it."""
    migrations.apply(Database(connection, execute_plugins=False))
