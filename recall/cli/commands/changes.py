"""`recall changes`: what differs between two revisions of notes."""

from typing import Annotated

from recall.cli.options import JsonOption, argument, format_of, option, see_errors
from recall.cli.output import json_line, put, say


def changes(
    old: Annotated[str, argument("Notes, a published file, or REV:PATH of a git repository.", "OLD")],
    new: Annotated[str, argument("The same, later.", "NEW")],
    format: Annotated[str, option("--format FORMAT", "text, json or markdown (a revision record).")] = "text",
    json: JsonOption = False,
) -> None:
    """Show what differs between two revisions of notes.

    Points are new, withdrawn, changed, moved, reworded or renamed.

    Example: recall changes HEAD~1:decks/skerry decks/skerry
    """
    from recall.publish.opening import compared, decks_at, renamed_in
    from recall.publish.record import as_fields, as_markdown, counted, text_lines

    format = format_of(format, json, ("text", "json", "markdown"))
    decided = renamed_in(new)
    read = {place: decks_at(place) for place in (old, new)}
    for at, (deck, between) in enumerate(compared(read[old], read[new], decided)):
        found = between.changes()
        if format == "json":
            for change in found:
                json_line(as_fields(change))
            continue
        if at:
            say()
        if format == "markdown":
            put(as_markdown(deck, old, found).rstrip("\n"))
            continue
        named = f"{deck.record.title or deck.record.deck}"
        revision = f" revision {deck.record.revision}" if deck.record.revision else ""
        say(f"{named}{revision}: {counted(found)}.")
        for title, about, what in text_lines(found):
            if title:
                say(f"\n{title}")
            say(about, indent="    ", first="  ")
            say(what, indent="      ", first="      ")
        if alike := [] if decided else between.alike():
            say("\nAlike, one withdrawn and one new: when it is published, say whether they are the same.")
            for each in alike:
                say(f"`{each.old_subject}` → `{each.new_subject}`", indent="    ", first="  ")
    for place, decks in read.items():
        see_errors(place, decks)
