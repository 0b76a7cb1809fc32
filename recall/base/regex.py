"""Regular expressions that are compiled when they are first used: a start pays for none that it doesn't need.

    from recall.base import regex as re

It stands for the standard module wherever expressions are kept in a module; they are used like any others.
"""

import re
from re import *  # noqa: F403  # all of it but `compile`
from typing import Any, cast

_METHODS = ("findall", "finditer", "fullmatch", "match", "search", "split", "sub", "subn")


class Late:
    """An expression that nobody has used yet; from then on its methods are those of the compiled one."""

    def __init__(self, pattern: str, flags: int) -> None:
        self.pattern = pattern
        self._flags = flags

    def __getattr__(self, name: str) -> Any:
        """Compile it. Raises re.error."""
        compiled = re.compile(self.pattern, self._flags)
        for method in _METHODS:
            setattr(self, method, getattr(compiled, method))
        return getattr(compiled, name)


def compile(pattern: "str | re.Pattern[str]", flags: int = 0) -> "re.Pattern[str]":  # type: ignore[no-redef]
    """As `re.compile`, but late. Raises re.error at the first use."""
    return cast("re.Pattern[str]", Late(pattern, flags) if type(pattern) is str else pattern)


def any_case(pattern: str) -> "re.Pattern[str]":
    """As `compile`, in any case of letters. Raises re.error at the first use."""
    return compile(pattern, re.IGNORECASE)
