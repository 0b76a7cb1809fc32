"""Every command by its name, in the order of help. The function of a command, or a group of commands, stands in the
module of its name; only the one that was asked for is imported, so that each starts as fast as it can."""

from collections.abc import Callable
from importlib import import_module
from keyword import iskeyword
from typing import Any

COMMANDS = (
    *("review", "due", "weak", "plan", "odds", "oral", "page", "history", "undo", "remark"),
    *("new", "cards", "lint", "load", "supplies", "changes", "publish", "keys", "export", "class"),
    *("settings", "merge", "events", "backup", "doctor", "tune"),
)
"""Those to learn with, those to write notes and to teach with, those for the store."""


def command(name: str) -> Callable[..., Any]:
    """The function of a command, or the group of that name."""
    name += "_" * iskeyword(name)
    found: Callable[..., Any] = getattr(import_module(f"{__name__}.{name}"), name)
    return found
