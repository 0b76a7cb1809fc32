"""Files that somebody names."""

import io
import os
import resource
import signal
import zipfile
from pathlib import Path
from threading import Thread

import pytest

from recall.base.errors import RecallError
from recall.base.files import read_plain, write_file


def test_a_pipe_that_nobody_reads_is_told(tmp_path: Path) -> None:
    """Writing into it would wait for ever."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(RecallError, match="nobody reads from the pipe"):
        write_file(tmp_path / "pipe", b"text")
    with pytest.raises(RecallError, match="isn't a plain file"):
        read_plain(tmp_path / "pipe", 10)


def test_a_pipe_with_a_reader_is_written(tmp_path: Path) -> None:
    """All of it arrives, however slow the reader."""
    os.mkfifo(tmp_path / "pipe")
    found: list[bytes] = []
    reader = Thread(target=lambda: found.append((tmp_path / "pipe").read_bytes()))
    handle = os.open(tmp_path / "pipe", os.O_RDONLY | os.O_NONBLOCK)
    reader.start()
    write = Thread(target=write_file, args=(tmp_path / "pipe", b"x" * 300_000))
    write.start()
    write.join(0.05)
    os.close(handle)
    write.join(10)
    reader.join(10)

    assert b"x" * 300_000 == b"".join(found)


def test_a_file_beside_the_one_written_stays(tmp_path: Path) -> None:
    """Whatever stands there under a like name is somebody's, and nothing else is left behind."""
    (tmp_path / "file.part").write_bytes(b"mine")
    write_file(tmp_path / "file", b"text")

    assert {"file": b"text", "file.part": b"mine"} == {
        path.name: path.read_bytes() for path in tmp_path.iterdir()
    }


def test_a_file_is_written_anew(tmp_path: Path) -> None:
    """What stood there is gone, where it was of the same sort."""
    write_file(tmp_path / "file", b"text that is longer")
    write_file(tmp_path / "file", b"text")

    assert b"text" == (tmp_path / "file").read_bytes()


@pytest.mark.parametrize("kept", [b"# Notes\n", b"-----BEGIN KEY", b"SQLite format 3\0", b"x"])
def test_another_sort_of_file_stays(tmp_path: Path, kept: bytes) -> None:
    """Notes, a key or a store that is named by mistake isn't written over."""
    (tmp_path / "file").write_bytes(kept)
    with pytest.raises(RecallError, match="is another sort of file, and stays"):
        write_file(tmp_path / "file", b"deck,revision\r\n")

    assert kept == (tmp_path / "file").read_bytes()


def _packed(name: str, words: str) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        archive.writestr(name, words)
    return made.getvalue()


def test_another_sort_of_archive_stays(tmp_path: Path) -> None:
    """A published revision isn't questions, though both are zip archives; questions are written over questions."""
    file, bag = tmp_path / "file.zip", _packed("bagit.txt", "BagIt-Version: 1.0")
    file.write_bytes(bag)
    with pytest.raises(RecallError, match="is another sort of file, and stays"):
        write_file(file, _packed("imsmanifest.xml", "<manifest/>"))

    assert bag == file.read_bytes()

    file.write_bytes(_packed("imsmanifest.xml", "<older/>"))
    write_file(file, questions := _packed("imsmanifest.xml", "<manifest/>"))

    assert questions == file.read_bytes()


@pytest.mark.parametrize("before", [None, b"text of before"])
def test_a_full_disk_leaves_what_was_there(tmp_path: Path, before: bytes | None) -> None:
    """Neither half a file nor an empty one (a limit on the size of files stands for the disk)."""
    if before:
        (tmp_path / "file").write_bytes(before)
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, limits[1]))
    try:
        with pytest.raises(OSError, match="File too large"):
            write_file(tmp_path / "file", b"text" * 100_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, handler)

    assert ([before] if before else []) == [each.read_bytes() for each in tmp_path.iterdir()]
