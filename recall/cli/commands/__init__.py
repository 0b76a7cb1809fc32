"""Every command by its name. A command's own imports are late, so that each starts as fast as it can."""

from collections.abc import Callable
from typing import Any

from recall.cli.commands.cards import cards
from recall.cli.commands.due import due
from recall.cli.commands.lint import lint
from recall.cli.commands.load import load
from recall.cli.commands.remark import remark
from recall.cli.commands.review import review
from recall.cli.commands.settings import settings
from recall.cli.commands.supplies import supplies
from recall.cli.commands.undo import undo
from recall.cli.commands.weak import weak

COMMANDS: dict[str, Callable[..., Any]] = {
    "review": review,
    "due": due,
    "weak": weak,
    "undo": undo,
    "cards": cards,
    "lint": lint,
    "load": load,
    "remark": remark,
    "settings": settings,
    "supplies": supplies,
}
