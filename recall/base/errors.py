"""The one family of exceptions: a request that can't be met. Mistakes in notes are findings, not exceptions."""


class RecallError(Exception):
    """A request that can't be met.

    what: one line, what happened. help: one line, what to do about it (may be empty).
    """

    def __init__(self, what: str, help: str = "") -> None:
        super().__init__(what)
        self.what = what
        self.help = help


class StoreError(RecallError):
    """The store can't be used as asked: missing, foreign, from a later version, locked, full, read-only."""
