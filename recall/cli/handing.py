"""What `recall export` makes to be handed on: a hand-in for a class, and the page in a folder."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from recall.base.errors import RecallError
from recall.base.text import count
from recall.cli.options import stored

if TYPE_CHECKING:
    from recall.cli.wish import Wish


def hand_in(wish: "Wish") -> bytes:
    """What goes out is said first; at a terminal, asked."""
    from recall.cohort.handin import seal
    from recall.cohort.mine import gather, told
    from recall.publish.hand_over import named_key

    if not wish.to:
        raise RecallError("a hand-in is made for one class", "name its key: --for CLASS.pub")
    with stored(wish.store) as store:
        known = [deck.slug for deck in store.decks()]
        slug = wish.slug or (known[0] if len(known) == 1 else "")
        if not slug:
            raise RecallError("no deck was named", f"name one: --deck DECK; decks are: {', '.join(known)}")
        made, seed = gather(
            store, slug, named_key(wish.to), answers=wish.with_answers, name=wish.name, withdraw=wish.withdraw
        )
    for line in told(made):
        sys.stderr.write(f"{line}\n")
    if sys.stdin.isatty() and sys.stderr.isatty() and not typer.confirm("Write it?", default=True, err=True):
        raise typer.Exit(0)
    return seal(made, seed)


def page(wish: "Wish") -> None:
    """A folder that any static host serves."""
    from tempfile import TemporaryDirectory

    from recall.offline.build import build

    if wish.path is None or wish.out is None:
        raise RecallError(
            "the page is a folder of a deck",
            "name both: recall export page REVISION.zip --out FOLDER --runtime FOLDER",
        )
    if wish.runtime is None and not wish.runtime_at.startswith("https://"):
        raise RecallError(
            "the page needs Python for browsers",
            "name it: --runtime FOLDER, or --runtime-at https://… for the tablet",
        )
    if wish.out.exists() and any(wish.out.iterdir()) and not (wish.out / "service.js").exists():
        raise RecallError(
            f"`{wish.out}` holds something else", "name an empty folder, or that of an earlier page"
        )
    with TemporaryDirectory() as folder:
        made = build(_revisions(wish, Path(folder)), wish.runtime, wish.runtime_at.rstrip("/") + "/")
    for name, content in made.items():
        file = wish.out / name
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content)
    for old in (*wish.out.glob("program-*.zip"), *wish.out.glob("revisions/*")):
        if old.relative_to(wish.out).as_posix() not in made:
            old.unlink()
    size = sum(map(len, made.values())) / 1e6
    sys.stderr.write(f"written: {wish.out}, {count(len(made), 'file')}, {size:.1f} MB\n")


def _in_order(path: Path) -> tuple[str, str]:
    """Revisions of a deck in the order of their numbers: 10 after 2."""
    from recall.publish.revision import NAME
    from recall.store.revisions import revision_key

    named = NAME.fullmatch(path.stem)
    return (named[1], revision_key(named[2])) if named else (path.stem, "")


def _revisions(wish: "Wish", folder: Path) -> list[Path]:
    """The published files at a path: itself, those in a folder of them, or notes, published for this page alone."""
    from recall.publish.places import is_published, read_all
    from recall.publish.publish import publish

    assert wish.path is not None
    if is_published(wish.path):
        return [wish.path]
    if wish.path.is_dir() and (found := [*wish.path.glob("*.zip")]):
        return sorted(found, key=_in_order)
    return [publish(deck, findings, out=folder).path for deck, findings in read_all(wish.path)]
