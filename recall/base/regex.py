"""Regular expressions that are compiled when they are first used: a start pays for none that it doesn't need.

    from recall.base import regex as re

It stands for the standard module wherever expressions are kept in a module; they are used like any others.
"""

import re
from collections.abc import Collection
from re import *  # noqa: F403  # all of it but `compile`
from typing import Any, cast

_METHODS = ("findall", "finditer", "fullmatch", "match", "search", "split", "sub", "subn")
_NOT_FOUND: dict[str, Any] = {
    "findall": lambda _: [],
    "finditer": lambda _: iter(()),
    **dict.fromkeys(("fullmatch", "match", "search"), lambda _: None),
    "split": lambda text: [text],
    "sub": lambda text: text,
}
_TURNS = 100
"""So often a text is told without compiling; whoever asks more often does better with the compiled one."""


class Late:
    """An expression that nobody has used yet; from then on its methods are those of the compiled one.

    holds: small letters of which one stands in whatever it finds, blanks folded and one at both ends: a text
    without them needs no compiling.
    """

    def __init__(self, pattern: str, flags: int, holds: Collection[str] = ()) -> None:
        self.pattern = pattern
        self.holds = holds
        self._flags = flags

    def __getattr__(self, name: str) -> Any:
        """Compile it, where it isn't told without. Raises re.error."""
        if not self.holds or name not in _NOT_FOUND:
            return self._compiled(name)

        turns = iter(range(_TURNS))

        def told(*given: Any, **named: Any) -> Any:
            text = given[name == "sub"]
            folded = f" {' '.join(text.lower().split())} "
            if any(map(folded.__contains__, self.holds)) or next(turns, None) is None:
                return self._compiled(name)(*given, **named)
            return _NOT_FOUND[name](text)

        setattr(self, name, told)
        return told

    def _compiled(self, name: str) -> Any:
        compiled = re.compile(self.pattern, self._flags)
        for method in _METHODS:
            setattr(self, method, getattr(compiled, method))
        return getattr(compiled, name)


def compile(pattern: "str | re.Pattern[str]", flags: int = 0) -> "re.Pattern[str]":  # type: ignore[no-redef]
    """As `re.compile`, but late. Raises re.error at the first use."""
    return cast("re.Pattern[str]", Late(pattern, flags) if type(pattern) is str else pattern)


def any_case(pattern: str, holds: Collection[str] = ()) -> "re.Pattern[str]":
    """As `compile`, in any case of letters. holds: see `Late`. Raises re.error at the first use."""
    return cast("re.Pattern[str]", Late(pattern, re.IGNORECASE, holds))


def exact(pattern: str, holds: Collection[str]) -> "re.Pattern[str]":
    """As `compile`. holds: see `Late`. Raises re.error at the first use."""
    return cast("re.Pattern[str]", Late(pattern, 0, holds))
