"""BagIt bags (RFC 8493) of files in memory: manifests written, and read back without trusting anything."""

import hashlib
from collections.abc import Mapping

from recall.base import regex as re
from recall.base.errors import UnverifiedError
from recall.base.text import shown

DECLARATION = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
INFO, SIGNATURE = "bag-info.txt", "signature.txt"
MANIFEST, TAGS = "manifest-sha256.txt", "tagmanifest-sha256.txt"
_TAGGED = frozenset(("bagit.txt", INFO, MANIFEST))
_LINE = re.compile(r"([0-9a-f]{64}) {2}(.+)")
_AGAIN = "get the file again from whoever published it"


def make_bag(payload: Mapping[str, bytes], info: Mapping[str, str]) -> dict[str, bytes]:
    """All files of a bag. payload: by path below `data/`; info: the lines of bag-info.txt, in order."""
    files = {f"data/{name}": content for name, content in payload.items()}
    size = sum(map(len, files.values()))
    lines = dict(info) | {"Payload-Oxum": f"{size}.{len(files)}"}
    tags = {
        "bagit.txt": DECLARATION,
        INFO: "".join(f"{label}: {value}\n" for label, value in lines.items()).encode(),
        MANIFEST: _manifest(files),
    }
    return files | tags | {TAGS: _manifest(tags)}


def _manifest(files: Mapping[str, bytes]) -> bytes:
    lines = (f"{hashlib.sha256(content).hexdigest()}  {name}\n" for name, content in sorted(files.items()))
    return "".join(lines).encode()


def open_bag(files: Mapping[str, bytes]) -> tuple[dict[str, bytes], dict[str, str]]:
    """Payload by path below `data/`, and the SHA-256 of each, of a bag in which every file is listed and whole.

    Raises UnverifiedError, naming the first file that isn't.
    """
    missing = [name for name in (*sorted(_TAGGED), TAGS) if name not in files]
    if missing:
        raise UnverifiedError(f"it is no published revision: `{missing[0]}` is missing", _AGAIN)
    if files["bagit.txt"] != DECLARATION:
        raise UnverifiedError("`bagit.txt` isn't as it was published", _AGAIN)
    payload = {name: content for name, content in files.items() if name.startswith("data/")}
    strange = sorted(set(files) - payload.keys() - _TAGGED - {TAGS, SIGNATURE})
    if strange:
        raise UnverifiedError(f"`{shown(strange[0])}` doesn't belong in a revision", _AGAIN)
    _check(files, TAGS, _TAGGED)
    sums = _check(files, MANIFEST, frozenset(payload))
    return (
        {name.removeprefix("data/"): content for name, content in payload.items()},
        {name.removeprefix("data/"): sum for name, sum in sums.items()},
    )


def _check(files: Mapping[str, bytes], manifest: str, wanted: frozenset[str]) -> dict[str, str]:
    """Every wanted file is listed in the manifest and has its checksum; these."""
    listed: dict[str, str] = {}
    for line in _text(files[manifest], manifest).splitlines():
        found = _LINE.fullmatch(line)
        if found is None or found[2] in listed:
            raise UnverifiedError(f"`{manifest}` can't be read", _AGAIN)
        listed[found[2]] = found[1]
    for name in sorted(wanted | listed.keys()):
        if name not in files or name not in wanted:
            raise UnverifiedError(f"`{shown(name)}` is listed and isn't there", _AGAIN)
        if name not in listed:
            raise UnverifiedError(f"`{shown(name)}` isn't listed in `{manifest}`", _AGAIN)
        if hashlib.sha256(files[name]).hexdigest() != listed[name]:
            raise UnverifiedError(f"`{shown(name)}` isn't as it was published", _AGAIN)
    return listed


def _text(content: bytes, name: str) -> str:
    try:
        return content.decode()
    except UnicodeDecodeError as fault:
        raise UnverifiedError(f"`{name}` can't be read", _AGAIN) from fault
