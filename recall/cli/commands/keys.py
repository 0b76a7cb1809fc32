"""`recall keys`: keys that revisions are signed with, and those that are pinned."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import JsonOption, StoreOption, store_path
from recall.cli.output import columns, json_line, say

Action = Annotated[str, typer.Argument(help="new, show, pinned or forget.")]
Name = Annotated[
    str, typer.Argument(help="The key's file (new, show), or a deck (forget).", show_default=False)
]


def keys(
    action: Action = "pinned", name: Name = "", json: JsonOption = False, store: StoreOption = None
) -> None:
    """Make a key to sign with, or see whose are accepted.

    Example: recall keys new skerry.key
    """
    if action in ("new", "show"):
        _own(action, name, json)
    elif action == "pinned":
        _pinned(store, json)
    elif action == "forget":
        _forget(store, name)
    else:
        raise RecallError(f"keys can't `{action}`", "it is one of: new FILE, show FILE, pinned, forget DECK")


def _own(action: str, name: str, json: bool) -> None:
    from recall.publish.sign import new_key, public_of, spoken

    if not name:
        raise RecallError("no file was named", f"name one: recall keys {action} FILE")
    public = new_key(Path(name)) if action == "new" else public_of(Path(name))
    if json:
        json_line({"file": name, "key": public, "short": spoken(public)})
        return
    if action == "new":
        say(f"Made the key {name}. Keep it secret and keep a copy: who has it publishes in your name.")
    say(f"Students see it as {spoken(public)}.")


def _pinned(store: Path | None, json: bool) -> None:
    from recall.publish.sign import spoken
    from recall.store import Store
    from recall.store.publishers import pinned

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        known = pinned(opened)
    if json:
        for deck, key in known.items():
            json_line({"deck": deck, "key": key, "short": spoken(key)})
        return
    if not known:
        say("No key is pinned: no signed revision was loaded yet.")
        return
    for line in columns([(deck, spoken(key)) for deck, key in known.items()], ("deck", "signed with")):
        say(line)


def _forget(store: Path | None, name: str) -> None:
    from recall.store import Store
    from recall.store.publishers import pin, pinned

    with Store.open(store_path(store), SystemClock(), create=False) as opened:
        if name not in pinned(opened):
            raise RecallError(f"no key is pinned for `{name}`", "`recall keys` lists those that are")
        pin(opened, name, "")
    say(f"The next signed revision of {name} pins its key.")
