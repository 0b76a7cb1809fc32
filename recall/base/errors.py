"""The one family of exceptions: a request that can't be met. Mistakes in notes are findings, not exceptions."""

from typing import ClassVar


class RecallError(Exception):
    """A request that can't be met.

    what: one line, what happened. help: one line, what to do about it (may be empty).
    """

    code: ClassVar[int] = 2
    """The exit code that it ends a command with."""

    def __init__(self, what: str, help: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.help = help

    @property
    def sentences(self) -> str:
        """Both as whole sentences."""
        return " ".join(f"{part[:1].upper()}{part[1:]}." for part in (self.what, self.help) if part)


class StoreError(RecallError):
    """The store can't be used as asked: missing, foreign, from a later version, locked, full, read-only."""


class UnverifiedError(RecallError):
    """A published revision doesn't verify: the answer is bad news, and nothing was taken from it."""

    code = 1


class DamagedError(RecallError):
    """Something couldn't be read and was left out: the rest was done, and that is bad news."""

    code = 1
