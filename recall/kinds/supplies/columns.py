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
BARE = re.compile(r"#?\d{1,3}[a-z]?", re.IGNORECASE)


_LOADS = ("load", "loads", "consumer", "consumers", "equipment", "system", "item")
_NORMAL = ("normal", "normally", "normal supply", "primary", "main", "main supply")
_EMERGENCY = ("emergency", "backup", "back-up", "alternate", "standby", "secondary", "reserve")
_GUARDS = ("breaker", "fuse", "cb", "circuit breaker")
_FOR = ("what", "for", "goes to", "what for", "used for", "name", "description")


def settled(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with `Source` as the source of supply where no other column is, and as the citation where one is."""
    settled = dict(roles)
    names = names_of(table)
    own = next((at for at, role in settled.items() if role == "from"), None)
    if own is not None and any(name in _SOURCES for name in names) and not _named(table, own):
        del settled[own]  # the rating of a fuse beside the source itself
    if "from" in settled.values() or "feeds" not in settled.values():
        return settled
    free = [at for at in range(len(names)) if settled.get(at, "source") == "source"]
    source = next((at for at in free if names[at] in _SOURCES), None)
    if source is None:
        return settled
    settled = {at: role for at, role in settled.items() if role != "source"}
    settled[source] = "from"
    cited = next((at for at in free if at != source and names[at] in _CITATIONS), None)
    if cited is not None:
        settled[cited] = "source"
    return settled


def in_cases(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with what feeds a load normally as its source, and what feeds it in an emergency as the backup; beside a
    breaker whatever it is `for` as the load."""
    names = names_of(table)
    columns = {role: at for at, role in roles.items()}
    if 0 < columns.get("feeds", 0) < columns.get("from", 0) and 0 not in roles and _named(table, 0):
        return {at: role for at, role in roles.items() if role != "from"} | {0: "from"}
    if "from" in roles.values():
        plain = [at for at, name in enumerate(names) if name in _FOR and at not in roles]
        guarded = any(role == "from" and names[at] in _GUARDS for at, role in roles.items())
        if not guarded or not plain or "feeds" in roles.values():
            return roles
        own = {at: role for at, role in roles.items() if role != "backup"}  # of the load, not of its supply
        return {**own, plain[0]: "feeds"}
    said = [
        next((at for at, name in enumerate(names) if name in known), -1) for known in (_NORMAL, _EMERGENCY)
    ]
    if names[0] not in _LOADS or min(said) < 1 or not all(_named(table, at) for at in (0, *said)):
        return roles
    return {**roles, 0: "feeds", said[0]: "from", said[1]: "backup"}


def numbered(table: Table, roles: dict[int, str]) -> dict[int, str]:
    """Roles with the numbers of fuses as their source, where ratings stand beside what they protect."""
    names, said = names_of(table), set(roles.values())
    at = next((at for at, name in enumerate(names) if NUMBER.fullmatch(name)), -1)
    rated = any(_RATED.fullmatch(name) for name in names)
    return {**roles, at: "from"} if at >= 0 and rated and "feeds" in said and "from" not in said else roles


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
