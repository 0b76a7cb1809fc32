"""`recall publish`: hand a revision on."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.text import CAUTION, fields_of
from recall.cli.options import JsonOption, PathArgument, option
from recall.cli.output import json_line, say

if TYPE_CHECKING:
    from recall.deck.pairing import Renamed as Alike


def publish(
    path: PathArgument,
    out: Annotated[Path, option("--out FOLDER", "The folder of published revisions.")] = Path("exports"),
    sign: Annotated[Path | None, option("--sign KEY", "Sign with this key (`recall keys new`).")] = None,
    renamed: Annotated[
        list[str] | None, option("--renamed OLD=NEW", "A subject that has a new name.")
    ] = None,
    withdrawn: Annotated[
        list[str] | None, option("--withdrawn OLD", "A subject that is no other one now.")
    ] = None,
    json: JsonOption = False,
) -> None:
    """Write a revision as one file for students to load.

    It is checksummed, and signed with your key. Where a point went and a like one came, you say whether it was
    renamed: then its history goes along, and no student is asked.

    Example: recall publish decks/skerry --sign ~/skerry.key
    """
    from recall.deck.source import find_sources
    from recall.publish.decisions import Decisions
    from recall.publish.places import is_published, read_all
    from recall.publish.publish import publish as written
    from recall.publish.record import counted
    from recall.publish.sign import spoken

    if is_published(path):
        raise RecallError(f"{path} is published already", "name the folder of its notes")
    if (renamed or withdrawn) and len(find_sources(path)) > 1:
        raise RecallError(f"`{path}` holds several decks", "name the folder of the one that is meant")
    at_terminal = sys.stdin.isatty() and sys.stderr.isatty()
    decisions = Decisions(
        [_pair(text) for text in renamed or ()], withdrawn or (), _ask if at_terminal and not json else None
    )
    for deck, findings in read_all(path, SystemClock().now().date()):
        done = written(deck, findings, out=out, key=sign, decisions=decisions)
        record = done.deck.record
        if json:
            told = {
                "file": done.path.as_posix(),
                **fields_of(record, "deck", "revision"),
                "since": done.since,
            }
            json_line(told | {"changes": len(done.changes), "signer": done.signer})
            continue
        since = f"since revision {done.since}" if done.since else "the first revision"
        say(f"{done.path}: {record.deck} revision {record.revision}, {since}: {counted(done.changes)}.")
        signed = f"Signed with the key {spoken(done.signer)}." if done.signer else ""
        say(signed or "It is not signed: --sign KEY signs it.")
    if not json:
        say(CAUTION)


def _pair(text: str) -> tuple[str, str]:
    before, equals, after = text.partition("=")
    if not (before.strip() and equals and after.strip()):
        raise RecallError(f"`{text}` names no renaming", 'name both subjects: --renamed "OLD=NEW"')
    return before.strip(), after.strip()


def _ask(alike: "Alike") -> bool:
    """Whether a point was renamed, as its author says at the terminal."""
    return typer.confirm(
        f"Is `{alike.old_subject}`, which went, now `{alike.new_subject}`, with its history?", err=True
    )
