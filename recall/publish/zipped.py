"""Zip archives that are the same bytes for the same files (APPNOTE 6.3: stored entries), and a strict reader.

Fixed times, no compression, one order. What is read must be exactly what would be written: so no entry is hidden,
doubled, a link, compressed, or changed by a single bit.
"""

import io
import struct
import zipfile
import zlib
from collections.abc import Mapping

from recall.base.errors import UnverifiedError
from recall.base.text import has_hidden, shown

MOST_BYTES = 128 * 1024 * 1024
MOST_FILES = 20_000
MOST_NOTES = 16 * 1024 * 1024
"""Bytes of all notes together: a deck that takes a minute to read is no deck to learn."""
_MOST_NAME = 240
_DOS_DATE = 1 << 5 | 1
"""The first of January 1980, the earliest that the format can say."""
_UTF8 = 0x800
_FORBIDDEN = frozenset('\\:*?"<>|%')
_REPACKED = "get the file again, as it was published; one that was packed anew isn't accepted"


def safe_name(name: str) -> bool:
    """Whether a path may stand in an archive: relative, below its top, and a file's name on every system."""
    return (
        0 < len(name) <= _MOST_NAME
        and not has_hidden(name)
        and not _FORBIDDEN & set(name)
        and name.isprintable()
        and all(part.strip(". ") and part == part.strip() and part[-1] != "." for part in name.split("/"))
    )


def write_zip(files: Mapping[str, bytes]) -> bytes:
    """An archive of files by path, in the order of their paths."""
    return b"".join(_pieces(files))


def _pieces(files: Mapping[str, bytes]) -> list[bytes]:
    body: list[bytes] = []
    directory: list[bytes] = []
    offset = 0
    for name, content in sorted(files.items()):
        encoded = name.encode()
        flags = 0 if name.isascii() else _UTF8
        same = struct.pack(
            "<HHHHHIIIHH", 20, flags, 0, 0, _DOS_DATE, zlib.crc32(content), len(content), len(content),
            len(encoded), 0,
        )  # fmt: skip
        body += (b"PK\x03\x04", same, encoded, content)
        directory += (b"PK\x01\x02", struct.pack("<H", 0x0314), same)
        directory += (struct.pack("<HHHII", 0, 0, 0, 0o100644 << 16, offset), encoded)
        offset += 4 + len(same) + len(encoded) + len(content)
    listed = b"".join(directory)
    end = struct.pack("<HHHHIIH", 0, 0, len(files), len(files), len(listed), offset, 0)
    return [*body, listed, b"PK\x05\x06", end]


def read_zip(content: bytes) -> dict[str, bytes]:
    """The files of an archive that `write_zip` wrote. Raises UnverifiedError for any other, before unpacking it."""
    if len(content) > MOST_BYTES:
        raise UnverifiedError(f"the file is larger than {MOST_BYTES >> 20} MiB", "no revision is that large")
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            entries = archive.infolist()
            if len(entries) > MOST_FILES:
                raise UnverifiedError(f"the archive holds {len(entries)} files", "no revision holds so many")
            names = [entry.filename for entry in entries]
            for name in names:
                if not safe_name(name):
                    raise UnverifiedError(
                        f"the archive names a path that isn't safe: {shown(name)!r}", _REPACKED
                    )
            if len({name.casefold() for name in names}) < len(names):
                raise UnverifiedError("the archive names one path twice", _REPACKED)
            if any(entry.compress_type != zipfile.ZIP_STORED for entry in entries):
                raise UnverifiedError("the archive is compressed, which no published revision is", _REPACKED)
            if sum(entry.file_size for entry in entries) > len(content):
                raise UnverifiedError("the archive claims to hold more than it can", _REPACKED)
            # Where each lies if this is what we write, which is looked at below.
            starts = ((entry, entry.header_offset + 30 + len(entry.filename.encode())) for entry in entries)
            files = {entry.filename: content[at : at + entry.file_size] for entry, at in starts}
    except (zipfile.BadZipFile, zlib.error, EOFError, ValueError, NotImplementedError, struct.error, OSError,
            RuntimeError) as fault:  # fmt: skip
        raise UnverifiedError("the file isn't a whole zip archive", _REPACKED) from fault
    at = 0
    for piece in _pieces(files):
        if not content.startswith(piece, at):
            break
        at += len(piece)
    else:
        if at == len(content):
            return files
    raise UnverifiedError("the archive isn't as it was published", _REPACKED)
