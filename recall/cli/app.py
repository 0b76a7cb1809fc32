"""The commands, put together, and their errors turned into exit codes: 0 done, 1 bad news, 2 can't be met."""

import io
import os
import signal
import sys
import warnings
from contextlib import suppress
from pathlib import Path
from typing import Annotated

import typer

from recall import __version__
from recall.base.errors import RecallError
from recall.base.text import CAUTION, shown
from recall.cli.commands import COMMANDS, command
from recall.cli.options import remember_store
from recall.cli.output import width, wrapped


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"recall {__version__}")
        raise typer.Exit


def _all(
    store: Annotated[
        Path | None,
        typer.Option("--store", metavar="FILE", envvar="RECALL_STORE", help="The store to use."),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Say the version.")
    ] = False,
) -> None:
    remember_store(store)


def _asked(arguments: list[str]) -> str:
    """The first word that is neither an option nor the store's name; empty where there is none."""
    words = iter(arguments)
    for word in words:
        if word == "--store":
            next(words, "")
        elif not word.startswith("-"):
            return word
    return ""


def build(arguments: list[str]) -> typer.Typer:
    """The program, with the command that the arguments name, or with all where they name none."""
    app = typer.Typer(
        name="recall",
        no_args_is_help=True,
        add_completion=False,
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
        help=f"Aircrew knowledge, kept in the head: notes into cards, a daily review, the checkride.\n\n{CAUTION}",
    )
    app.callback()(_all)
    asked = _asked(arguments)
    for name in (asked,) if asked in COMMANDS else COMMANDS:
        found = command(name)
        if isinstance(found, typer.Typer):
            app.add_typer(found, name=name)
        else:
            app.command(name)(found)
    return app


def say_error(error: RecallError) -> None:
    """What happened, then what to do, on standard error: a line each, whatever was typed or stands in a file; a
    terminal wraps it."""
    for name, text in (("recall", error.what), ("help", error.help)):
        if text:
            line = f"{name}: {shown(text)}".replace("\n", "\\u{000A}")
            sys.stderr.write("\n".join(wrapped(line, width()) if sys.stderr.isatty() else [line]) + "\n")


def _say_warning(message: Warning | str, *_: object) -> None:
    say_error(RecallError(str(message), ""))


def _end_by_signal(number: int, _: object) -> None:
    """End in order, so that nothing is left in the temporary folder."""
    raise SystemExit(128 + number)


class _NoInput(io.StringIO):
    """Stands for a standard input that is closed: who reads it is refused, who doesn't never notices."""

    def readline(self, *_: object) -> str:  # type: ignore[override]
        """Refuse."""
        raise RecallError(
            "standard input is closed", "answers are read from it: leave it open, or give it a file"
        )

    read = readline


def start() -> int:
    """Run the command that was typed, in a process of its own; its exit code."""
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _end_by_signal)
    warnings.showwarning = _say_warning  # type: ignore[assignment]
    closed = [name for name in ("stdin", "stdout", "stderr") if getattr(sys, name) is None]
    while closed and os.open(os.devnull, os.O_RDWR) < 2:
        pass  # no file that is opened later may take their numbers
    if "stdin" in closed:
        sys.stdin = _NoInput()
    if "stderr" in closed:
        sys.stderr = Path(os.devnull).open("w", encoding="utf-8")  # noqa: SIM115
    if "stdout" in closed:
        say_error(RecallError("standard output is closed", "leave it open, or send it to /dev/null"))
        return 2
    return run(sys.argv[1:])


def _nothing_more() -> None:
    """What is left for standard output goes nowhere: its reader has enough, or it can't be written."""
    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _unencoded(error: UnicodeEncodeError) -> RecallError:
    sign = error.object[error.start]
    if "\ud800" <= sign <= "\udfff":
        return RecallError("what was typed isn't UTF-8", "type it again, or set the terminal to UTF-8")
    return RecallError(
        f"the output can't hold U+{ord(sign):04X}: it is written in {error.encoding}",
        "set the terminal to UTF-8, or PYTHONIOENCODING=utf-8",
    )


def _lower(text: str) -> str:
    """A library's message as ours begin."""
    return text[:1].lower() + text[1:]


def run(arguments: list[str]) -> int:
    """Run one command; its exit code."""
    arguments = arguments or ["--help"]
    if "lint" in arguments and arguments[-1] == "--explain":
        arguments = [*arguments, "list"]
    before, last = arguments[-2:][0], arguments[-1]
    if last[:1] == "-" and last[1:].replace(".", "", 1).isdigit() and not before.startswith("-"):
        arguments = [*arguments[:-1], "--", last]  # no option is a number
    try:
        code = build(arguments)(args=arguments, prog_name="recall", standalone_mode=False)
        sys.stdout.flush()
    except RecallError as error:
        say_error(error)
        return error.code
    except typer.TyperException as error:
        context = getattr(error, "ctx", None)
        path = context.command_path if context is not None else "recall"
        said = _lower(error.format_message().strip().rstrip("."))
        say_error(RecallError(said, f"see `{path} --help`"))
        return 2
    except typer.Exit as ended:
        return ended.exit_code
    except (typer.Abort, KeyboardInterrupt):
        return 130
    except (BrokenPipeError, SystemExit) as ended:
        # The reader of a pipe has enough; the command line library answers that with an exit of its own.
        _nothing_more()
        code = getattr(ended, "code", 0)
        return code if isinstance(code, int) and code >= 128 else 0
    except UnicodeEncodeError as error:
        say_error(_unencoded(error))
        return 2
    except OSError as error:
        say_error(
            RecallError(
                _lower(f"{error.strerror or error}: {error.filename or ''}".rstrip(": ")),
                "see that the place exists, has room and may be written",
            )
        )
        _nothing_more()
        return 2
    return code if isinstance(code, int) else 0
