"""Every command by its name. A command's own imports are late, so that each starts as fast as it can."""

from collections.abc import Callable
from typing import Any

from recall.cli.commands.cards import cards
from recall.cli.commands.lint import lint

COMMANDS: dict[str, Callable[..., Any]] = {
    "cards": cards,
    "lint": lint,
}
