"""`recall keys`: keys that revisions are signed with, and those that are pinned."""

from pathlib import Path
from typing import Annotated

import typer

from recall.base.errors import RecallError
from recall.base.files import make_folder, write_file
from recall.cli.options import JsonOption, StoreOption, argument, option, stored
from recall.cli.output import json_line, put, say, table


def keys(
    action: Annotated[str, typer.Argument(help="new, show, public, pinned, forget or hand-over.")] = "pinned",
    name: Annotated[
        str,
        argument(
            "A key's file (new, show), a published file (show), a deck (forget), or the old key (hand-over)."
        ),
    ] = "",
    new: Annotated[str, argument("The new key's file, or its public half (hand-over).")] = "",
    out: Annotated[Path, option("--out FOLDER", "The folder of published revisions (hand-over).")] = Path(
        "exports"
    ),
    beside: Annotated[
        bool, option("--beside", "The old key goes on signing: another author joins (hand-over).")
    ] = False,
    lost: Annotated[
        bool, option("--lost", "The old key is lost; every student is asked (hand-over).")
    ] = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Make a key to sign with, or see whose are accepted.

    Example: recall keys new skerry.key
    """
    named, takes = [one for one in (name, new) if one], _TAKES.get(action, 2)
    if len(named) > takes or ((beside or lost) and action != "hand-over"):
        strange = named[takes:] + ["--beside"] * beside + ["--lost"] * lost
        raise RecallError(f"`{strange[0]}` says nothing to `keys {action}`", "leave it out")
    if action in ("new", "show", "public"):
        _own(action, name, json)
    elif action == "pinned":
        _pinned(store, json)
    elif action == "forget":
        _forget(store, name)
    elif action == "hand-over":
        _hand_over(name, new, out, json, beside=beside, lost=lost)
    else:
        raise RecallError(
            f"keys can't `{action}`",
            "it is one of: new FILE, show FILE, public FILE, pinned, forget DECK, hand-over OLD NEW",
        )


_TAKES = {"new": 1, "show": 1, "public": 1, "pinned": 0, "forget": 1, "hand-over": 2}
"""How many names each takes."""


def _own(action: str, name: str, json: bool) -> None:
    from recall.publish.hand_over import named_key
    from recall.publish.places import is_published
    from recall.publish.revision import verified
    from recall.publish.sign import new_key, public_of, spoken

    if not name:
        to = " > CLASS.pub" if action == "public" else ""
        raise RecallError("no file was named", f"name one: recall keys {action} FILE{to}")
    path = Path(name)
    if action == "public":
        put(public_of(path))
        return
    if action == "new":
        public = new_key(path)
    elif not (public := verified(path).signer if is_published(path) else named_key(name)):
        raise RecallError(f"`{name}` isn't signed", "it is loaded all the same: no key is held to it")
    if json:
        json_line({"file": name, "key": public, "short": spoken(public)})
        return
    if action == "new":
        say(f"Made the key {name}. Keep it secret and keep a copy: who has it publishes in your name.")
    say(f"Students see it as {spoken(public)}.")


def _pinned(store: Path | None, json: bool) -> None:
    from recall.publish.sign import spoken
    from recall.store.publishers import pinned

    with stored(store) as opened:
        known = [(deck, key) for deck, held in pinned(opened).items() for key in sorted(held)]
    if json:
        for deck, key in known:
            json_line({"deck": deck, "key": key, "short": spoken(key)})
    elif known:
        rows = ((deck, spoken(key)) for deck, key in known)
        table(rows, ("deck", "signed with"))
    else:
        say("No key is pinned: no signed revision was loaded yet.")


def _forget(store: Path | None, name: str) -> None:
    from recall.store.publishers import lineage, pin, pinned

    with stored(store) as opened, opened.writing():
        held = lineage(opened, name) & pinned(opened).keys()
        if not held:
            raise RecallError(f"no key is pinned for `{name}`", "`recall keys` lists those that are")
        for each in sorted(held):
            pin(opened, each, ())
    say(f"The next signed revision of {name} pins its key.")


def _hand_over(old: str, new: str, out: Path, json: bool, *, beside: bool, lost: bool) -> None:
    from recall.publish.hand_over import SUFFIX, in_folder, make_hand_over, named_key
    from recall.publish.publish import last_signers
    from recall.publish.sign import public_of, spoken

    if beside and lost:
        raise RecallError("a lost key can't go on signing", "say --beside or --lost")
    if lost and (new or not old):
        raise RecallError("with --lost the new key alone is named", "recall keys hand-over NEW --lost")
    if not lost and not (old and new):
        raise RecallError("two keys are needed", "name them: recall keys hand-over OLD NEW")
    way = "lost" if lost else "beside" if beside else "instead"
    by = Path(old)
    public = public_of(by)
    target = public if lost else named_key(new)
    sources = sorted(last_signers(out) - {public}) if lost else [public]
    if not sources:
        raise RecallError(
            f"no revision in {out} was signed with another key", "name its folder with --out FOLDER"
        )
    if target in sources or any(each.old == target and each.way != "beside" for each in in_folder(out)):
        raise RecallError(
            "a key that was handed over isn't taken up again", "make a new one: recall keys new FILE"
        )
    make_folder(out)
    for source in sources:
        made = make_hand_over(source, target, way, by)
        file = out / f"{source[:8]}-{target[:8]}{SUFFIX}"
        write_file(file, made.text.encode("ascii"))
        if json:
            json_line({"file": file.as_posix(), "from": source, "to": target, "way": way})
            continue
        signs = "sign from now on" if way == "beside" else "signs from now on"
        who = f"{spoken(source)} and {spoken(target)}" if way == "beside" else spoken(target)
        say(f"{file}: {who} {signs}. It goes along with each revision that you publish to {out}.")
        if lost:
            say("Students are asked: tell them the new key by voice, they type what you say.")
