"""What a point of a supply holds: its rows, each with loads, what these need besides, and their backups."""

from collections.abc import Sequence

from recall.base.dataclass import replace
from recall.base.text import key_form
from recall.kinds.model import Point
from recall.kinds.supplies.names import Backup


def loads_of(point: Point) -> dict[str, tuple[str, int]]:
    """Key → name and line of each load of a point, once, in order; rows joined may name one twice."""
    loads: dict[str, tuple[str, int]] = {}
    for row in point.parts:
        below = row.wording.get("below", "").split() or ["0"] * len(row.fields["feeds"])
        for load, by in zip(row.fields["feeds"], below, strict=True):
            loads.setdefault(key_form(load), (load, row.place.line + int(by)))
    return loads


def backups_of(row: Point) -> tuple[Backup, ...]:
    """The backups of a row of a supply, those without a hand first."""
    automatic = [Backup(name) for name in row.fields["backup"]]
    hands = zip(row.fields["manual"], row.fields["how"], strict=True)
    return (*automatic, *(Backup(name, True, how) for name, how in hands))


def with_row(
    point: Point, loads: tuple[str, ...], needs: tuple[str, ...] = (), backups: Sequence[Backup] = ()
) -> Point:
    """A point with one row: its loads, what each of them needs besides, and their backups."""
    point.fields = {"feeds": loads}
    row = {"feeds": loads, "needs": needs, **taking_over(backups)}
    point.parts = (replace(point, fields=row, parts=()),)
    return point


def taking_over(backups: Sequence[Backup]) -> dict[str, tuple[str, ...]]:
    """Backups as fields of a point, from which `backups_of` makes them again."""
    return {
        "backup": tuple(backup.name for backup in backups if not backup.manual),
        "manual": tuple(backup.name for backup in backups if backup.manual),
        "how": tuple(backup.how for backup in backups if backup.manual),
    }
