"""A store belongs to its person alone."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from store_kit import answer, deck

from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store
from recall.store.backup import backups, folder_of
from recall.store.private import OpenToOthersWarning

pytestmark = pytest.mark.skipif(os.name != "posix", reason="permissions of POSIX")


def modes(*paths: Path) -> list[str]:
    """Permissions in octal."""
    return [f"{path.stat().st_mode & 0o777:o}" for path in paths]


def beside(path: Path) -> list[Path]:
    """A store's file with those that SQLite keeps beside it while it is open."""
    return [path, path.with_name(f"{path.name}-wal"), path.with_name(f"{path.name}-shm")]


@pytest.fixture
def usual_mask() -> object:
    """Files are readable by all unless said otherwise."""
    before = os.umask(0o022)
    yield
    os.umask(before)


def test_a_new_store_is_its_persons(tmp_path: Path, clock: SetClock, usual_mask: None) -> None:
    """The file, those beside it, the folder made for it, a backup and the folder of backups."""
    path = tmp_path / "mine" / "recall.db"
    with Store.open(path, clock) as store:
        store.load(deck({"Battery": "24 V"}))
        answer(store, "Battery")

        assert ["600", "600", "600"] == modes(*beside(path))
        copy = store.backup()
        chosen = store.backup(tmp_path / "copy.db")
        assert ["700", "700", "600", "600"] == modes(path.parent, folder_of(store), copy, chosen)
        assert 1 == len(backups(store))


def test_a_store_left_open_to_others_is_closed_and_said(store: Store, clock: SetClock) -> None:
    """With its files and backups; the next time there is nothing to say."""
    store.load(deck({"Battery": "24 V"}))
    store.backup()
    for path in (*beside(store.path), folder_of(store)):
        path.chmod(0o755 if path.is_dir() else 0o644)
    with pytest.warns(OpenToOthersWarning, match="yours alone"):
        Store.open(store.path, clock).close()

    assert ["600", "600", "600", "700"] == modes(*beside(store.path), folder_of(store))
    Store.open(store.path, clock).close()


_READ_ONLY_THEN_MENDED = """
import os, sys
from pathlib import Path
from recall.base.clock import SetClock
from recall.base.errors import StoreError
from recall.store import Store
from store_kit import MORNING, deck

path = Path(sys.argv[1])
with Store.open(path.parent.parent / "warm.db", SetClock(MORNING)) as warm:  # what is imported late is imported
    warm.load(deck({"Battery": "24 V"}))
os.chown(path.parent, 65534, 65534)
if os.geteuid() == 0:
    os.setuid(65534)
Store.open(path, SetClock(MORNING)).close()
path.chmod(0o400)
store = Store.open(path, SetClock(MORNING))
try:
    store.load(deck({"Battery": "24 V"}))
except StoreError as error:
    print(error.what.split(":")[0])
print(sorted(one.name for one in path.parent.iterdir()))
if len(sys.argv) > 2:
    os._exit(0)  # killed: the files beside it stay, read-only as the store was
"""

_MENDED = """
import os, sys
from pathlib import Path
from recall.base.clock import SetClock
from recall.store import Store
from store_kit import MORNING, deck

path = Path(sys.argv[1])
with Store.open(path.parent.parent / "warm2.db", SetClock(MORNING)) as warm:
    warm.load(deck({"Battery": "24 V"}))
if os.geteuid() == 0:
    os.setuid(65534)
path.chmod(0o600)
with Store.open(path, SetClock(MORNING)) as store:
    print(store.load(deck({"Battery": "24 V"})).new)
"""


def test_a_read_only_store_is_written_again_once_its_permissions_are_mended(tmp_path: Path) -> None:
    """Also where a run that was killed left the files beside it read-only."""
    if os.geteuid() != 0:
        pytest.skip("only the superuser can step down to another user")
    folder = tmp_path / "store"
    folder.mkdir()
    for one in (tmp_path, *tmp_path.parents[:3]):
        one.chmod(one.stat().st_mode | 0o711)
    path = folder / "recall.db"
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}

    def ran(code: str, *words: str) -> str:
        done = subprocess.run(
            [sys.executable, "-c", code, str(path), *words], capture_output=True, text=True, env=environment
        )
        assert "" == done.stderr
        return done.stdout

    assert ran(_READ_ONLY_THEN_MENDED, "killed").startswith("the store is read-only\n")
    assert "1\n" == ran(_MENDED)


def test_what_is_no_store_keeps_its_permissions(tmp_path: Path, clock: SetClock) -> None:
    """A file that was named by mistake, another program's database, a pipe: refused, and left as they are."""
    note, other, pipe = tmp_path / "note.md", tmp_path / "other.db", tmp_path / "pipe"
    note.write_text("# Battery\n")
    with closing(sqlite3.connect(other)) as made:
        made.execute("CREATE TABLE mine (word TEXT)")
    os.mkfifo(pipe)
    for path in (note, other, pipe):
        path.chmod(0o644)
        with pytest.raises(StoreError):
            Store.open(path, clock)

    assert ["644", "644", "644"] == modes(note, other, pipe)


def test_a_store_behind_a_link_is_closed_with_the_files_beside_it(store: Store, clock: SetClock) -> None:
    """They lie beside the store, not beside the link."""
    store.load(deck({"Battery": "24 V"}))
    link = store.path.with_name("link.db")
    link.symlink_to(store.path)
    for path in beside(store.path):
        path.chmod(0o644)
    with pytest.warns(OpenToOthersWarning, match="yours alone"):
        Store.open(link, clock).close()

    assert ["600", "600", "600"] == modes(*beside(store.path))
