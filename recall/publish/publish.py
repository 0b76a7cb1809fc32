"""Publish a revision: one signed, checksummed file, the same bytes from the same notes."""

import json
from collections.abc import Collection, Mapping, Sequence
from importlib.util import find_spec
from pathlib import Path

from recall import __version__
from recall.base.dataclass import dataclass, replace
from recall.base.errors import RecallError
from recall.base.files import make_folder, write_whole
from recall.base.finding import Finding
from recall.base.text import fields_of, shown
from recall.deck.model import Deck
from recall.deck.pictures import in_card, picture_file, place_in
from recall.publish.asked import CARDS, cards_file
from recall.publish.bag import SIGNATURE, make_bag
from recall.publish.decisions import UNDECIDED, Decisions, decided
from recall.publish.difference import REAL, Change, Difference
from recall.publish.hand_over import FILE, HandOver, in_folder, may_sign, read_hand_overs
from recall.publish.record import as_fields, as_markdown, counted
from recall.publish.revision import (
    NAME,
    PICTURES,
    RECORD,
    SOURCES,
    Revision,
    read_revision,
    verified,
)
from recall.publish.sheet import sheet_of
from recall.publish.sheet_html import sheet_html
from recall.publish.sign import public_of, sign, spoken
from recall.publish.zipped import MOST_BYTES, MOST_FILES, MOST_NOTES, safe_name, write_zip
from recall.store.revisions import revision_key


@dataclass(frozen=True, slots=True)
class Published:
    """What was written. since: the revision that it follows, empty for the first; signer: public key or empty."""

    path: Path
    deck: Deck
    since: str
    changes: tuple[Change, ...]
    signer: str


def publish(
    deck: Deck,
    findings: Sequence[Finding],
    *,
    out: Path,
    key: Path | None = None,
    decisions: Decisions = UNDECIDED,
) -> Published:
    """Write `SLUG-rREVISION.zip` into a folder. key: a private key to sign it with; decisions: what was renamed since
    the last one.

    Raises RecallError where the checker sees an error, where the revision isn't above the last one in that folder,
    where points changed and the record has no effective date, or where students would refuse the file.
    """
    record = deck.record
    if errors := [said for said in findings if said.severity == "error"]:
        place = errors[0].place
        many = "there is 1 error" if len(errors) == 1 else f"there are {len(errors)} errors"
        raise RecallError(
            f"{many} in the notes, the first in {shown(place.file)} line {place.line}",
            "`recall lint` shows them; mend them first",
        )
    if any(point.kind == "supply" for point in deck.points) and find_spec("fast_sugiyama") is None:
        raise RecallError(
            "the study sheet's diagram needs a layout library that isn't installed",
            "install it with `pip install '.[diagram]'` in the folder of the program: without it the same notes "
            "would give other bytes",
        )
    if not record.revision:
        raise RecallError("the deck's record has no revision", "add `revision: 1` to its front matter")
    last = last_published(out, (record.deck, record.formerly))
    if last is not None and revision_key(record.revision) <= revision_key(last.deck.record.revision):
        raise RecallError(
            f"revision {record.revision} isn't above {last.deck.record.revision}, the last one published",
            f"raise `revision` in the record of {record.deck}",
        )
    before = last.deck if last is not None else replace(deck, points=(), cards=())
    between = Difference.between(before, deck)
    renamed = decided(between, decisions)
    changes = (Difference.between(before, deck, renamed) if renamed else between).changes()
    if record.effective is None and any(change.change in REAL for change in changes):
        raise RecallError(
            f"points changed ({counted(changes)}) and the record has no effective date",
            "add `effective: 2027-03-31` with the day from which it holds",
        )
    signer = public_of(key) if key is not None else ""
    overs = in_folder(out)
    if last is not None:
        overs |= read_hand_overs(last.file.payload.get(FILE, b"").decode("ascii", "replace"))
    if last is not None and last.file.signer and signer not in may_sign(last.file.signer, overs):
        raise RecallError(
            f"revision {last.deck.record.revision} was signed with the key {spoken(last.file.signer)}; "
            "who loaded it will refuse this one",
            "sign with the same key: --sign FILE; or hand it over: recall keys hand-over OLD NEW",
        )
    since, follows = "", {}
    if last is not None:  # renamings of earlier revisions go along, for who skips one
        since, follows = last.deck.record.revision, {**last.file.renamed, **renamed}
    content = _file(deck, since, changes, follows, key, overs if signer else set())
    make_folder(out)
    path = out / f"{_name(deck)}.zip"
    write_whole(path, content)
    return Published(path, deck, since, tuple(changes), signer)


def last_published(out: Path, slugs: Sequence[str]) -> Revision | None:
    """The highest revision of a deck in a folder, verified; None where there is none."""
    newest = _newest(out)
    path = next((newest[slug] for slug in slugs if slug in newest), None)
    return None if path is None else read_revision(path)


def last_signers(out: Path) -> set[str]:
    """Who signed the last revision of each deck in a folder."""
    return {verified(path).signer for path in _newest(out).values()} - {""}


def _newest(out: Path) -> dict[str, Path]:
    """The file of the highest revision of each deck in a folder."""
    named = [(found, file) for file in out.glob("*.zip") if (found := NAME.fullmatch(file.stem))]
    return {found[1]: file for found, file in sorted(named, key=lambda one: revision_key(one[0][2]))}


def _name(deck: Deck) -> str:
    return f"{deck.record.deck}-r{deck.record.revision}"


def _file(
    deck: Deck,
    since: str,
    changes: Sequence[Change],
    renamed: Mapping[str, str],
    key: Path | None,
    overs: set[HandOver],
) -> bytes:
    sources = _sources(deck)
    payload = {f"{SOURCES}{name}": content for name, content in sources.items()}
    changes = [_placed(change, deck) for change in changes] if since else []
    payload |= {f"{PICTURES}{name}": content for name, content in _pictures(deck).items()}
    payload[CARDS] = cards_file(deck)
    payload["sheet.html"] = sheet_html(sheet_of(deck)).encode()
    payload["revision.md"] = as_markdown(deck, f"revision {since}" if since else "", changes).encode()
    payload[RECORD] = _record(deck, since, changes, renamed).encode()
    if overs:
        payload[FILE] = "".join(sorted(each.text for each in overs)).encode()
    record = deck.record
    info = {
        "Bag-Software-Agent": f"recall {__version__}",
        **({"Bagging-Date": record.effective.isoformat()} if record.effective else {}),
        "External-Identifier": _name(deck),
    }
    files = make_bag(payload, info)
    if key is not None:
        files[SIGNATURE] = sign(files, key)
    content = write_zip({f"{_name(deck)}/{name}": text for name, text in files.items()})
    if len(content) > MOST_BYTES or len(files) > MOST_FILES:
        raise RecallError(
            f"the revision has {len(content) >> 20} MiB in {len(files)} files, more than can be loaded",
            "part it into several decks",
        )
    return content


def _pictures(deck: Deck) -> dict[str, bytes]:
    """The pictures that points name, by where they stand below the deck's folder. Raises RecallError for one that may
    not go along."""
    pictures = {}
    for point in deck.points:
        for _, path in in_card(point.extra):
            place = place_in(point.place.file, path)
            if place not in pictures:
                pictures[place] = picture_file(deck.source.root, point.place.file, path)
    _check_names(deck, PICTURES, pictures, "picture")
    return pictures


def _check_names(deck: Deck, folder: str, names: Collection[str], what: str) -> None:
    """Raises RecallError where not every system can hold files of these names."""
    odd = [name for name in names if not safe_name(f"{_name(deck)}/data/{folder}{name}")]
    if odd:
        raise RecallError(
            f"`{shown(odd[0])}` isn't a file's name on every system",
            f"rename the {what}: no `%`, `:`, `?`, `*`, quotes or backslash in it",
        )
    if len({name.casefold() for name in names}) < len(names):
        raise RecallError(f"two {what}s differ by case alone", "some systems can't hold both: rename one")


def _sources(deck: Deck) -> dict[str, bytes]:
    root = deck.source.root
    _check_names(deck, SOURCES, deck.source.files, "note")
    notes = {name: (root / name).read_bytes() for name in deck.source.files}
    size = sum(map(len, notes.values()))
    if size > MOST_NOTES:
        raise RecallError(
            f"the notes have {size >> 20} MiB, more than can be loaded", "part them into several decks"
        )
    return notes


def _placed(change: Change, deck: Deck) -> Change:
    """A change with its file as the revision holds it, wherever it was published from."""
    prefix = f"{deck.source.shown}/" if deck.source.shown else ""
    withdrawn = change.change == "withdrawn"
    file = change.file.rpartition(".zip/")[2] if withdrawn else change.file.removeprefix(prefix)
    return replace(change, file=file)


def _record(deck: Deck, since: str, changes: Sequence[Change], renamed: Mapping[str, str]) -> str:
    """The revision record for programs."""
    record = deck.record
    plain = {
        **fields_of(record, "deck", "title", "revision"),
        "since": since,
        "lone": deck.source.lone,
        **fields_of(record, "formerly", "effective", "review_by", "authority", "applies_to"),
        **({"aircraft": dict(record.aircraft)} if record.aircraft else {}),
        **fields_of(record, "marking", "licence", "authors"),
        "points": len({card.point for card in deck.cards}),
        "cards": len(deck.cards),
        "renamed": dict(sorted(renamed.items())),
        "changes": [as_fields(change) for change in changes],
    }
    return json.dumps(plain, ensure_ascii=False, indent=1, default=str) + "\n"
