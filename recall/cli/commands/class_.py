"""`recall class`: what a class knows, from its hand-ins."""

from datetime import date
from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import JsonOption, day, whole

Folder = Annotated[
    Path, typer.Argument(help="The folder with the hand-ins and the published file.", show_default=False)
]
Key = Annotated[
    Path | None,
    typer.Option(
        "--key", metavar="FILE", help="The class key, to open new hand-ins with.", show_default=False
    ),
]
Against = Annotated[
    Path | None,
    typer.Option("--against", metavar="PATH", help="Say it at the lines of these notes.", show_default=False),
]
Form = Annotated[
    str,
    typer.Option(
        "--format",
        metavar="FORMAT",
        help="text, json, csv, html; with --against text, json, sarif, github.",
        show_default=False,
    ),
]
Since = Annotated[
    str,
    typer.Option(
        "--since", metavar="REVISION", help="What changed since; the newest unless told.", show_default=False
    ),
]
On = Annotated[
    date | None,
    typer.Option("--on", metavar="DATE", parser=day, help="Who is ready for this date.", show_default=False),
]
Engine = Annotated[str, typer.Option("--engine", metavar="ENGINE", help="duckdb (here) or spark.")]
Master = Annotated[
    str, typer.Option("--master", metavar="ADDRESS", help="Of the Spark cluster.", show_default=False)
]
Data = Annotated[
    Path | None,
    typer.Option(
        "--data", metavar="FOLDER", help="Where the kept Parquet lies, if not in FOLDER.", show_default=False
    ),
]
Most = Annotated[
    int,
    typer.Option(
        "--most", metavar="POINTS", parser=whole("points", 0, 100_000), help="How many points to show."
    ),
]


def class_(
    folder: Folder,
    key: Key = None,
    against: Against = None,
    format: Form = "",
    since: Since = "",
    on: On = None,
    most: Most = 12,
    engine: Engine = "duckdb",
    master: Master = "",
    data: Data = None,
    json: JsonOption = False,
) -> None:
    """Show what a class still misses, and which notes to look at.

    Hand-ins are read from the folder and kept in it as Parquet.

    Example: recall class handins --key skerry.key
    """
    from recall.cli import class_screen
    from recall.cli.progress import working
    from recall.cli.report import FORMATS

    form = "json" if json else format or "text"
    known = FORMATS if against else class_screen.FORMATS
    if form not in known:
        raise RecallError(f"there is no format `{form}` here", f"formats are: {', '.join(known)}")
    asked = class_screen.class_at(folder, key, against, engine, master, data)
    with working("asking the class"):
        views = asked.views(SystemClock().now().date(), since=since, on=on)
    if against:
        from recall.cohort.notes import findings_of

        FORMATS[form]([one for view in views for one in findings_of(view)])
        return
    class_screen.FORMATS[form](views, most)
