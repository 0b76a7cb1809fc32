"""A class's folder: hand-ins are read from it through the strict gate, and kept in it as Parquet, a file a
trainee."""

import hashlib
import json
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

import pyarrow.parquet as pq

from recall.base.dataclass import asdict, dataclass, field, replace
from recall.base.errors import RecallError
from recall.base.files import read_plain
from recall.cohort.columns import columns_of
from recall.cohort.handin import MOST, HandIn, WrongHandInError, opens, pseudonym, unseal

SUFFIX = ".handin"
KEPT = "kept"
_PEOPLE = "people.json"


@dataclass(frozen=True, slots=True)
class Person:
    """Who handed in. made: when, milliseconds since 1970; mark: digest of the file; withdrawn: taken out
    again; earlier: digests of files that this one replaces."""

    person: str
    deck: str
    made: int
    name: str
    mark: str
    answers: int
    withdrawn: bool = False
    earlier: tuple[str, ...] = ()

    @property
    def called(self) -> str:
        """The name, or the pseudonym where it is withheld."""
        return self.name or pseudonym(self.person)


@dataclass(slots=True)
class Taken:
    """What a look through the folder did. refused: file and why; older: files of which a
    newer one was taken; withdrawn: files whose trainee asked to be taken out; waiting: files that nobody opened
    yet, for want of the key."""

    people: list[Person] = field(default_factory=list)
    refused: list[tuple[str, str]] = field(default_factory=list)
    older: list[str] = field(default_factory=list)
    waiting: list[str] = field(default_factory=list)
    withdrawn: list[str] = field(default_factory=list)


def people_of(folder: Path) -> list[Person]:
    """Who handed in so far, withdrawn ones too. Raises RecallError where the list was altered by hand."""
    file = folder / KEPT / _PEOPLE
    if not file.exists():
        return []
    try:
        return [
            Person(**each | {"earlier": tuple(each.get("earlier", ()))})
            for each in json.loads(read_plain(file, MOST))
        ]
    except (TypeError, ValueError):
        help = f"take the folder `{folder / KEPT}` away; it is made again from the hand-ins"
        raise RecallError(f"`{file}` can't be read", help) from None


def take_in(folder: Path, seed: bytes | None, today: date) -> Taken:
    """Take in what lies in a class's folder and wasn't yet. seed: of the class key; None: what is new waits; today:
    what was made later than tomorrow is refused: nothing newer could replace it.

    What isn't a hand-in for this class is refused by name, the rest is read. Of one trainee and deck the
    newest counts; one that asks to be taken out takes all of theirs away. Raises RecallError for a folder
    that isn't there.
    """
    if not folder.is_dir():
        raise RecallError(f"there is no folder `{folder}`", "name the folder that the hand-ins lie in")
    before = people_of(folder)
    known = {(each.person, each.deck): each for each in before}
    whose = {mark: key for key, each in known.items() for mark in (each.mark, *each.earlier)}
    ahead = (today.toordinal() + 2 - date(1970, 1, 1).toordinal()) * 86_400_000
    done, here, opened = Taken(), [], seed is None
    for file, content, why in _files(folder):
        mark = hashlib.sha256(content).hexdigest()
        if why:
            done.refused.append((file, why))
        elif mark in whose:
            here.append((file, mark))
            opened = opened or (seed is not None and opens(content, seed))
        elif seed is None:
            done.waiting.append(file)
        else:
            try:
                made = unseal(content, seed)
            except WrongHandInError as error:
                done.refused.append((file, error.what))
                continue
            opened = True
            if made.made >= ahead:
                done.refused.append((file, "says that it was made on a day that is still to come"))
                continue
            key = whose[mark] = made.person, made.deck
            here.append((file, mark))
            last = known.get(key)
            if last is not None and last.made >= made.made:
                known[key] = replace(last, earlier=(*last.earlier, mark))
                continue
            earlier = () if last is None else (*last.earlier, last.mark)
            name = "" if made.withdrawn else made.name
            known[key] = Person(*key, made.made, name, mark, made.count, made.withdrawn, earlier)
            keep(folder, made)
    if here and not opened:
        raise RecallError(
            "the key opens none of the hand-ins here: it is another class's",
            "name the class's own key, or none",
        )
    for file, mark in here:
        person = known[whose[mark]]
        if mark != person.mark:
            (done.withdrawn if person.withdrawn else done.older).append(file)
    done.people = sorted(known.values(), key=lambda each: (each.deck, each.called, each.person))
    if done.people != before:
        with _anew(folder / KEPT / _PEOPLE) as waiting:
            waiting.write_text(json.dumps(list(map(asdict, done.people)), indent=1), encoding="utf-8")
    return done


def _files(folder: Path) -> Iterator[tuple[str, bytes, str]]:
    """Hand-ins by name, in order, with why one can't be read."""
    for file in sorted(folder.glob(f"*{SUFFIX}")):
        try:
            yield file.name, read_plain(file, MOST), ""
        except RecallError as error:
            yield file.name, b"", error.what
        except OSError as error:
            yield file.name, b"", f"can't be read: {error.strerror}"


def keep(folder: Path, made: HandIn) -> None:
    """Put a trainee's answers and memories in place of those before."""
    for part, table in zip(("answers", "memories"), columns_of(made), strict=True):
        file = folder / KEPT / part / f"deck={made.deck}" / f"{made.person}.parquet"
        if made.withdrawn:
            file.unlink(missing_ok=True)
            continue
        with _anew(file) as waiting:
            pq.write_table(table.drop_columns(["deck"]), waiting, compression="zstd")


@contextmanager
def _anew(file: Path) -> Iterator[Path]:
    """Where to write what then takes the place of a file."""
    private_folder(file.parent)
    waiting = file.with_suffix(".part")
    yield waiting
    waiting.replace(file)


def private_folder(folder: Path) -> None:
    """Make a folder for its owner alone."""
    for each in (*reversed(folder.parents), folder):
        each.mkdir(mode=0o700, exist_ok=True)
