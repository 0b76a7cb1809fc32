"""Which column of a table names the source: by its header, as `Source`, or by the number of a fuse."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.supplies.lead import MOST_WORDS, is_source
from recall.kinds.supplies.names import names_in
from recall.kinds.tables.headers import names_of
from recall.notes.model import Table

_SOURCES = ("source", "sources")
_CITATIONS = ("ref", "reference", "citation", "manual", "source", "sources")
NUMBER = re.compile(r"#|no|nr|number|pos|position|(?:fuse|breaker|cb) (?:#|no|nr|number)")
_RATED = re.compile(r"(?:fuse |breaker |cb )?(?:ratings?|rated|amps?|a|current|size|trip)(?: \(a\)|, a)?")
BARE = re.any_case(r"#?\d{1,3}[a-z]?")


def settled(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with the one column that feeds: the first of `Unit | Feeds | Breaker`, `Source` where no
    other column is (and a citation where one is), or the numbers of fuses beside their ratings."""
    names, at = names_of(table), {role: column for column, role in roles.items()}
    if 0 < at.get("feeds", 0) < at.get("from", 0) and 0 not in roles and _named(table, 0):
        roles = {column: role for column, role in roles.items() if role != "from"} | {0: "from"}
    own = next((column for column, role in roles.items() if role == "from"), None)
    free = [column for column in range(len(names)) if roles.get(column, "source") == "source"]
    sources = [column for column in free if names[column] in _SOURCES]
    if own is not None and sources and not _named(table, own):
        roles = {column: role for column, role in roles.items() if column != own}  # the rating of a fuse
    if "feeds" in roles.values() and "from" not in roles.values() and sources:
        roles = {column: role for column, role in roles.items() if role != "source"} | {sources[0]: "from"}
        cited = [column for column in free if column != sources[0] and names[column] in _CITATIONS]
        roles.update(dict.fromkeys(cited[:1], "source"))
    number = next((column for column, name in enumerate(names) if NUMBER.fullmatch(name)), -1)
    if (
        {"feeds", "from"} & {*roles.values()} == {"feeds"}
        and number >= 0
        and any(map(_RATED.fullmatch, names))
    ):
        roles = {**roles, number: "from"}
    return roles


def box_of(table: Table, head: str) -> str:
    """What the number of a fuse is said with: its header, or fuse or breaker, behind the box that the line above the
    table names."""
    lead = (
        one_line(table.lead.plain).rstrip(":. ")
        if table.lead and len(table.lead.plain.split()) < MOST_WORDS
        else ""
    )
    place = " ".join((head, lead, *table.topic[-1:])).casefold()
    noun = head if head in ("cb", "fuse", "breaker") else "breaker" if "breaker" in place else "fuse"
    noun = noun.upper() if noun == "cb" else noun.capitalize()
    return f"{lead}, {noun[:1].lower()}{noun[1:]}" if lead and is_source(lead) else noun


def _named(table: Table, column: int) -> bool:
    """Whether a column names things, none of its cells being an amount."""
    return all(names_in(row.cells[column].plain) is not None for row in table.rows)
