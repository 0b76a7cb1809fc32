"""The command line: it translates, and holds no rule of the trade."""

import gc
import sys


def main() -> None:
    """Run the command line; the only place that turns errors into exit codes."""
    gc.set_threshold(200_000)  # the usual 700 looks through all that a start makes some 200 times
    from recall.cli.app import start

    code = start()
    gc.freeze()  # what ends with the process needn't be looked through once more
    sys.exit(code)
