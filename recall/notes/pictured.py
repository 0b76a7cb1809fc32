"""Words of pictures beside others: a picture of what a text speaks of says nothing more."""

from recall.base import regex as re

_OBJECT_OWED = re.compile(
    r"(?:\b(?:the|an?|[Mm]y|[Yy]our|its|this|that|each|on|to|at|in|of|by|with|and|or|see|is|marked)"
    r"|&|\b[Pp](?:ress|ush)|\b(?:[Cc]lick|[Tt]ap|[Ss]elect))\s*$"
)
"""What has no end without the words of the picture behind it."""

Gathered = list[tuple[list[str], tuple[bool, bool, bool, bool]]]
"""Runs of pieces, with their look: bold, code, of a link, of a picture."""


def without_pictures(gathered: Gathered) -> Gathered:
    """All runs but pictures at either end; those that are a legend in capitals, or what a sentence ends in, stay."""
    start, end = 0, len(gathered)

    def passing(at: int) -> bool:
        words = "".join(gathered[at][0])
        return not words.strip() or (gathered[at][1][3] and not words.isupper())

    while start < end and passing(start):
        start += 1
    while end > start and passing(end - 1):
        end -= 1
    left = "".join(piece for pieces, _ in gathered[start:end] for piece in pieces)
    outer = (*gathered[:start], *gathered[end:])
    if not re.search(r"\w", left) or not any(look[3] for _, look in outer):
        return gathered
    return gathered[start : len(gathered) if _OBJECT_OWED.search(left) else end]
