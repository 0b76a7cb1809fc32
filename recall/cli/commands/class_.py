"""`recall class`: what a class knows, from its hand-ins."""

from datetime import date
from pathlib import Path
from typing import Annotated

from recall.base.clock import SystemClock
from recall.cli.options import JsonOption, argument, day, format_of, option, whole


def class_(
    folder: Annotated[Path, argument("The folder with the hand-ins and the published file.")],
    key: Annotated[Path | None, option("--key FILE", "The class key, to open new hand-ins with.")] = None,
    against: Annotated[Path | None, option("--against PATH", "Say it at the lines of these notes.")] = None,
    format: Annotated[
        str, option("--format FORMAT", "text, json, csv, html; with --against text, json, sarif, github.")
    ] = "",
    since: Annotated[str, option("--since REVISION", "What changed since; the newest unless told.")] = "",
    on: Annotated[date | None, option("--on DATE", "Who is ready for this date.", day)] = None,
    most: Annotated[
        int, option("--most POINTS", "How many points to show.", whole("points", 0, 100_000))
    ] = 12,
    engine: Annotated[str, option("--engine ENGINE", "duckdb (here) or spark.")] = "duckdb",
    master: Annotated[str, option("--master ADDRESS", "Of the Spark cluster.")] = "",
    data: Annotated[
        Path | None, option("--data FOLDER", "Where the kept Parquet lies, if not in FOLDER.")
    ] = None,
    json: JsonOption = False,
) -> None:
    """Show what a class still misses, and which notes to look at.

    Hand-ins are read from the folder and kept in it as Parquet.

    Example: recall class handins --key skerry.key
    """
    from recall.cli import class_screen
    from recall.cli.progress import working
    from recall.cli.report import FORMATS

    form = format_of(format or "text", json, FORMATS if against else class_screen.FORMATS)
    asked = class_screen.class_at(folder, key, against, engine, master, data)
    with working("asking the class"):
        views = asked.views(SystemClock().now().date(), since=since, on=on)
    if against:
        from recall.cohort.notes import findings_of

        FORMATS[form]([one for view in views for one in findings_of(view)])
        return
    class_screen.FORMATS[form](views, most)
