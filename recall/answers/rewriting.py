"""Tables of rewritings: what may be said otherwise, brought into one form."""

from collections.abc import Callable

from recall.base import regex as re


def rewriting(rows: str) -> Callable[[str], str]:
    """What does all of a table's rewritings in turn, in whatever case. rows: `pattern => said` a line, with `~` for
    a blank of what is said."""
    pairs = [line.strip().split(" =>", 1) for line in rows.strip().splitlines()]
    table = [(re.any_case(pattern), said.strip().replace("~", " ")) for pattern, said in pairs]

    def rewritten(text: str) -> str:
        for pattern, said in table:
            text = pattern.sub(said, text)
        return text

    return rewritten
