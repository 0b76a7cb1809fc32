"""All kinds, in order: where a table fits two equally, the first takes it. Each is the class of its file."""

from functools import cache
from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from recall.kinds.kind import Kind

    KINDS: tuple[Kind, ...]

NAMES = (
    "limit",
    "abbreviation",
    "interlock",
    "consequence",
    "supply",
    "setting",
    "indication",
    "flow",
    "memory-item",
    "question",
)


@cache
def kind_named(name: str) -> "Kind | None":
    """A kind, of which alone the file is read; None where there is none of that name."""
    if name not in NAMES:
        return None
    module = import_module(f"recall.kinds.each.{name.replace('-', '_')}")
    made: Kind = vars(module)[name.title().replace("-", "")]()
    return made


def __getattr__(name: str) -> "tuple[Kind | None, ...]":
    """`KINDS`: all of them."""
    if name != "KINDS":
        raise AttributeError(name)
    return tuple(map(kind_named, NAMES))
