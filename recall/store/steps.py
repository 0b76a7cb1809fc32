"""The steps from each earlier version of a store to this one. Imported where a store is made or taken up: the library
draws in whatever tables of numbers are installed, and every start would pay for them."""

import sqlite3
from collections.abc import Callable

from sqlite_utils import Database
from sqlite_utils.migrations import Migrations

from recall.store.schema import SEALING, TRUTH, WORDINGS

migrations = Migrations("store")


def _step(sql: str) -> Callable[[Database], None]:
    return lambda db: script(db.conn, sql)


# What 2 and 3 added is made anew by the fifth.
for _at, _sql in enumerate((TRUTH, "", "", SEALING, WORDINGS), 1):
    migrations(name=f"version_{_at}")(_step(_sql))


def script(connection: sqlite3.Connection, sql: str) -> None:
    """Statements one after another, inside the transaction that is open (the driver's own way would end it)."""
    statement = ""
    for piece in sql.split(";"):
        statement += f"{piece};"
        if sqlite3.complete_statement(statement):
            connection.execute(statement)
            statement = ""


def take(connection: sqlite3.Connection) -> None:
    """Take all steps that a store lacks; inside a transaction, part of it."""
    migrations.apply(Database(connection, execute_plugins=False))
