"""A published revision read back: the bag and its signature first, then its notes with our own reader."""

import hashlib
import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError, UnverifiedError
from recall.base.files import read_plain
from recall.base.finding import Finding
from recall.base.text import shown
from recall.deck.model import Deck, Source
from recall.deck.read import read_deck
from recall.deck.source import HEAD, reading
from recall.publish.bag import SIGNATURE, TAGS, open_bag
from recall.publish.sign import signer_of
from recall.publish.zipped import MOST_BYTES, MOST_NOTES, read_zip
from recall.store.needs import NEEDS

RECORD = "revision.json"
_ASK = "ask whoever published it"
SOURCES, PICTURES = "sources/", "pictures/"
NAME = re.compile(r"([a-z0-9-]{1,64})-r([0-9]+(?:\.[0-9]+)*)")
"""What a revision is called: its slug and its number."""


@dataclass(frozen=True, slots=True)
class Revision:
    """The notes of a verified file. findings: of our own reader, which may be a later one than the publisher's."""

    deck: Deck
    findings: tuple[Finding, ...]
    file: "Verified"


def read_file(path: Path) -> bytes:
    """The bytes of a file that may be a revision. Raises UnverifiedError for one that is too large to be one."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise UnverifiedError(
                f"{path.name} is larger than {MOST_BYTES >> 20} MiB", "no published revision is that large"
            )
        return read_plain(path, MOST_BYTES)
    except OSError as fault:
        raise RecallError(f"can't read {path}: {fault.strerror}", "name a file that can be read") from fault


@dataclass(frozen=True, slots=True)
class Verified:
    """A file that is as it was published. payload: by path below `data/`; sums: their SHA-256; signer: public key in
    hexadecimal, empty where it isn't signed; mark: a digest of the file and of the way in which this version reads
    notes; renamed: ids of cards that go on from others under a new subject, as the publisher decided (new → old)."""

    path: Path
    slug: str
    revision: str
    lone: bool
    payload: Mapping[str, bytes]
    sums: Mapping[str, str]
    signer: str
    mark: str
    renamed: Mapping[str, str]

    def notes(self) -> tuple[str, ...]:
        """The names of its notes, the one that holds the record first."""
        names = [name.removeprefix(SOURCES) for name in self.payload if name.startswith(SOURCES)]
        return tuple(sorted(names, key=lambda name: (name != HEAD, name)))


@contextmanager
def naming(path: Path) -> Iterator[None]:
    """Give a file's name to what is wrong with it."""
    try:
        yield
    except UnverifiedError as fault:
        raise UnverifiedError(f"{path.name} doesn't verify: {fault.what}", fault.help) from fault


def verify(path: Path, content: bytes) -> Verified:
    """Verify a file. Raises UnverifiedError where anything at all isn't as it was published."""
    with naming(path):
        top, below = _inside(read_zip(content))
        payload, sums = open_bag(below)
        signer = signer_of(below)
        if sum(len(text) for name, text in payload.items() if name.startswith(SOURCES)) > MOST_NOTES:
            raise UnverifiedError(
                f"its notes are larger than {MOST_NOTES >> 20} MiB", "no deck is that large"
            )
        slug, revision, said = _named(top, payload)
        renamed, lone = said.get("renamed", {}), said.get("lone") is True
        if not NEEDS["deck loaded"]["renamed"].fits(renamed):
            raise UnverifiedError(f"the renamings in `{RECORD}` can't be read", _ASK)
        # What is beside the payload stands for all of it.
        beside = "".join(f"{name} {below.get(name, b'').hex()} " for name in (TAGS, SIGNATURE))
        mark = hashlib.sha256(f"{reading()} {top} {beside}".encode()).hexdigest()
        return Verified(path, slug, revision, lone, payload, sums, signer, mark, renamed)


def verified(path: Path) -> Verified:
    """Read a file and verify it; raises as `read_file` and `verify` do."""
    return verify(path, read_file(path))


def read_revision(path: Path, today: date | None = None) -> Revision:
    """Verify a file and read the notes in it. Nothing is written but a folder that is gone again.

    Raises UnverifiedError, which names the file, where anything at all isn't as it was published.
    """
    return read_notes(verified(path), today)


def read_notes(found: Verified, today: date | None = None) -> Revision:
    """The notes of a file as this version reads them. Raises UnverifiedError where they are another deck's."""
    with naming(found.path):
        deck, findings = _read(found, today)
        if (deck.record.deck, deck.record.revision) != (found.slug, found.revision):
            raise UnverifiedError("its notes are of another deck or revision than its name says", _ASK)
    source = Source(found.path, deck.source.files, found.path.as_posix())
    deck = replace(deck, source=source, mark=found.mark)
    return Revision(deck, tuple(findings), found)


def file_in(path: Path, name: str) -> bytes:
    """One file of a published one, to be shown. Raises RecallError where it isn't there."""
    _, below = _inside(read_zip(read_file(path)))
    if f"data/{name}" not in below:
        raise RecallError(f"there is no `{shown(name)}` in {path}")
    return below[f"data/{name}"]


def _inside(files: Mapping[str, bytes]) -> tuple[str, dict[str, bytes]]:
    """The one folder at the top, and the files below it."""
    tops = {name.partition("/")[0] for name in files}
    if len(tops) != 1 or any("/" not in name for name in files):
        raise UnverifiedError(
            "it is no published revision: one folder should hold it all", "name another file"
        )
    top = tops.pop()
    return top, {name.partition("/")[2]: content for name, content in files.items()}


def _named(top: str, payload: Mapping[str, bytes]) -> tuple[str, str, dict[str, Any]]:
    """Slug and revision, as the folder's name and the record say alike, and all that the record says."""
    found = NAME.fullmatch(top)
    said: object = None
    with suppress(KeyError, ValueError, RecursionError):
        said = json.loads(payload[RECORD])
    if (
        found is None
        or not isinstance(said, dict)
        or (said.get("deck"), said.get("revision")) != found.groups()
    ):
        raise UnverifiedError(f"its record `{RECORD}` can't be read", _ASK)
    return found[1], found[2], said


def _read(found: Verified, today: date | None) -> tuple[Deck, list[Finding]]:
    """Lay the notes out in a folder named after the deck, and read them as any others."""
    files = found.notes()
    if not files:
        raise UnverifiedError("it holds no notes", _ASK)
    with TemporaryDirectory() as folder:
        root = Path(folder) / found.slug
        for name in files:
            file = root / name
            try:
                file.parent.mkdir(parents=True, exist_ok=True)
                file.write_bytes(found.payload[f"{SOURCES}{name}"])
            except (OSError, ValueError) as fault:
                raise UnverifiedError(f"`{shown(name)}` can't be laid out", _ASK) from fault
        return read_deck(Source(root, files, "", lone=found.lone and len(files) == 1), today=today)
