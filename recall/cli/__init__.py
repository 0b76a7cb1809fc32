"""The command line: it translates, and holds no rule of the trade."""

import sys


def main() -> None:
    """Run the command line; the only place that turns errors into exit codes."""
    from recall.cli.app import start

    sys.exit(start())
