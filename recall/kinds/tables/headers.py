"""Table headers into roles: any order, any case, synonyms, plurals, with or without a unit."""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.finding import Finding, finding
from recall.base.text import one_line, shown
from recall.kinds.tables.rows import Sheet
from recall.notes.model import Table, Text
from recall.quantity import header_parts

_BRACKET = re.exact(r"\s*[(\[][^()\[\]]*[)\]]", holds="([")

COMMON: dict[str, tuple[str, ...]] = {
    "source": ("source", "ref", "reference", "citation", "manual"),
    "applies": ("applies to", "applicability", "effectivity", "applicable to"),
    "id": ("id",),
    "why": ("why", "reason", "rationale", "because"),
}
"""Columns that every table may have."""


def roles_by_name(headers: Mapping[str, Sequence[str]]) -> dict[str, str]:
    """Header name → role. headers: role → its names."""
    return {name: role for role, names in headers.items() for name in names}


COMMON_ROLES = roles_by_name(COMMON)


@dataclass(slots=True)
class Match:
    """How one kind reads one table.

    roles: column → role; explained: how many columns it explains; subject: the column that names a row, -1 where none
    does; shown: columns that aren't asked and are shown with the answer; telling: columns by whose words rows of one
    subject are told apart; due: columns of which each row fills one; adds_up: rows of one subject are one set;
    layout: what else the kind found out; named: the column that names what amounts in other columns are of, where
    that isn't the subject; sheet: the table itself, its rows settled.
    """

    roles: dict[int, str]
    explained: int
    subject: int = -1
    shown: Sequence[int] = ()
    telling: Sequence[int] | None = None
    due: Sequence[int] = ()
    adds_up: bool = False
    layout: Any = None
    named: int = -1
    sheet: Sheet = None  # type: ignore[assignment]  # given by the matcher, before anybody reads

    @property
    def table(self) -> Table:
        """The table with its rows settled."""
        return self.sheet.table

    @property
    def columns(self) -> dict[str, int]:
        """Role → column."""
        return {role: column for column, role in self.roles.items()}


def header_name(text: str) -> str:
    """A header as it is compared: case folded, blanks single, footnote marks and trailing stops gone."""
    return _bare(one_line(text.casefold().replace("’", "'")))


def _bare(name: str) -> str:
    name = name.rstrip(" :*†‡§.")
    inner = name.lstrip("→⇒ ")
    return inner if inner[:1].isalnum() or inner[:1] == "_" else name


def _singular(word: str) -> str:
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    return word[:-3] + "y" if word.endswith("ies") else word.removesuffix("s")


def singular(header: str) -> str:
    """A header of one word as one thing under it is called: `Failures` heads a failure."""
    header = one_line(header)
    return header[:-1] if re.search(r"[^s]s$", header) and " " not in header else header


@lru_cache(maxsize=4096)
def spellings(name: str) -> tuple[str, ...]:
    """A header's name and what it is also known as: without brackets, before its comma, in the singular."""
    found = [name]
    for shorter in (_bare(_BRACKET.sub("", name)).strip(), name.split(",")[0].strip()):
        if shorter and shorter not in found:
            found.append(shorter)
    for known in list(found):
        single = " ".join(_singular(word) for word in known.split())
        if single not in found:
            found.append(single)
    return tuple(found)


def names_of(table: Table) -> list[str]:
    """The table's header names, as they are compared."""
    return [header_name(header.plain) for header in table.headers]


def heads_of(table: Table) -> str:
    """The table's headers as a message names them."""
    return " | ".join(shown(one_line(header.plain)) for header in table.headers)[:80]


def unfilled(table: Table, message: str, help: str) -> Finding:
    """What is said of a table without answers, at its first row. message: what is said of its headers."""
    place = table.rows[0].place if table.rows else table.place
    return finding("empty-template", place, f"table `{heads_of(table)}` {message}", help)


def renamed(table: Table, columns: Mapping[str, str]) -> Table:
    """The table with a deck's own header names replaced by ours, so that kinds see only ours. A unit in the deck's
    own header (`Höchstens [bar]`) stays, whether or not the record names it."""
    own = {header_name(theirs): ours for theirs, ours in columns.items()}
    named = [(_own_name(header.plain, own) if own else "", header) for header in table.headers]
    if not any(name for name, _ in named):
        return table
    headers = tuple(Text(name or header.plain, header.place, header.bold) for name, header in named)
    return replace(table, headers=headers)


def _own_name(header: str, own: Mapping[str, str]) -> str:
    """Our name for a deck's own header, with the header's unit; empty where the record doesn't name it."""
    parts = header_parts(header)
    ours = own.get(header_name(header)) or (own.get(header_name(parts.name)) if parts.name else None)
    if ours is None:
        return ""
    unit = parts.unit if parts.name and header_parts(ours).unit is None else None
    return f"{ours} ({unit.name})" if unit is not None else ours


def match_roles(names: Sequence[str], known: Mapping[str, str]) -> dict[int, str]:
    """Column → role. A kind's own roles go before the common ones; a role is given once, to the first column
    that names it most exactly. known: header name → the kind's own role."""
    roles: dict[int, str] = {}
    taken: set[str] = set()
    spelt = [
        (depth, column, way)
        for column, name in enumerate(names)
        for depth, way in enumerate(spellings(name)[:4])
    ]
    for table in (known, COMMON_ROLES):
        for _, column, role in sorted(
            (depth, column, table[way]) for depth, column, way in spelt if way in table
        ):
            if column not in roles and role not in taken:
                roles[column] = role
                taken.add(role)
    return roles
