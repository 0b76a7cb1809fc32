"""`recall publish`: hand a revision on."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.base.text import CAUTION
from recall.cli.options import JsonOption, PathArgument
from recall.cli.output import json_line, say

Out = Annotated[Path, typer.Option("--out", metavar="FOLDER", help="The folder of published revisions.")]
Sign = Annotated[
    Path | None,
    typer.Option("--sign", metavar="KEY", help="Sign with this key (`recall keys new`).", show_default=False),
]


def publish(
    path: PathArgument, out: Out = Path("exports"), sign: Sign = None, json: JsonOption = False
) -> None:
    """Write a revision as one file for students to load.

    It is checksummed, and signed with your key.

    Example: recall publish decks/skerry --sign ~/skerry.key
    """
    from recall.cli.decks import read_all
    from recall.publish.publish import publish as written
    from recall.publish.record import counted
    from recall.publish.revision import is_published
    from recall.publish.sign import spoken

    if is_published(path):
        raise RecallError(f"{path} is published already", "name the folder of its notes")
    for deck, findings in read_all(path, SystemClock().now().date()):
        done = written(deck, findings, out=out, key=sign)
        record = done.deck.record
        if json:
            json_line(
                {
                    "file": done.path.as_posix(),
                    "deck": record.deck,
                    "revision": record.revision,
                    "since": done.since,
                    "changes": len(done.changes),
                    "signer": done.signer,
                }
            )
            continue
        since = f"since revision {done.since}" if done.since else "the first revision"
        say(f"{done.path}: {record.deck} revision {record.revision}, {since}: {counted(done.changes)}.")
        say(
            f"Signed with the key {spoken(done.signer)}."
            if done.signer
            else "It is not signed: --sign KEY signs it."
        )
    if not json:
        say(CAUTION)
