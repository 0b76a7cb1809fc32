"""The folder: the page, the program with what it draws in, published decks, a manifest (W3C Web Application
Manifest) and a service worker (W3C Service Workers). The same bytes for the same input."""

import gzip
import hashlib
import io
import json
import zipfile
from base64 import b64encode
from collections.abc import Iterator, Mapping, Sequence
from importlib.metadata import Distribution, distribution
from importlib.resources import files
from pathlib import Path, PurePosixPath

from recall.base import regex as re
from recall.base.errors import RecallError
from recall.base.files import read_plain

VERSION = "314.0.7"
RUNTIME: Mapping[str, str] = {
    "pyodide.asm.mjs": "f7cdc8ece80678ceb712f8e65ebe6d3a83203a180c399865f49612a051693635",
    "pyodide.asm.wasm": "cc36e3cab04fdfc9a63ff13eb52eae2b911bf46c025cc7b281f394bd3de1d5e6",
    "pyodide.mjs": "6f1d60f7bf529beb300f0f47983c921d3982363640ba20af0e38efdddbc66109",
    "pyodide-lock.json": "5dc2fc119108bc148c7457dc86e7675b5c87e1cafd420b9c34c1eaef7b36c010",
    "python_stdlib.zip": "fa1957e5777068fc4f7437f96d860ae2fbe9c19732ba06c84e004ec16dd7dd7a",
}
"""Files of the npm package `pyodide` at VERSION, each with its SHA-256."""
PARTS = (
    "anyio", "click", "ecdsa", "fsrs", "idna", "jinja2", "markdown-it-py", "markupsafe", "mdit-py-plugins", "mdurl",
    "pluggy", "python-dateutil", "segno", "six", "sqlite-fts4", "sqlite-utils", "starlette", "tabulate", "tzdata",
    "typing-extensions",
)  # fmt: skip
"""Distributions that the page draws in, all of them plain Python (of markupsafe that half)."""
MANIFEST: Mapping[str, object] = {
    "id": "./",
    "name": "recall",
    "short_name": "recall",
    "description": "Aircrew knowledge, kept in the head",
    "lang": "en",
    "start_url": "./",
    "scope": "./",
    "display": "standalone",
    "background_color": "#10324a",
    "icons": [
        {"src": "mark.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"},
        {"src": "mark.png", "sizes": "512x512", "type": "image/png", "purpose": "any"},
    ],
}
SHELL = ("index.html", "mark.png", "shell.css", "shell.js", "worker.js")
LEFT_OUT = re.compile(
    r"(^|/)(__pycache__|tests?|testing|cli|offline/static)(/|$)|cohort/(?!(__init__|handin|mine|sealed)\.py)|\.(so|pyd|pyi|pyc|c)$|^(bin|\.\.)/"
)
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_MOST = 64 << 20


def build(revisions: Sequence[Path], runtime: Path | None, at: str) -> dict[str, bytes]:
    """Every file of the folder by its path. revisions: published files, in the order in which they are loaded;
    runtime: an unpacked npm package `pyodide`; at: an address that holds it, where it isn't taken along. Raises
    RecallError for a runtime that isn't VERSION."""
    static = files("recall.offline") / "static"
    made = {file: (static / file).read_bytes() for file in SHELL}
    made["mark.svg"] = (files("recall.web") / "static" / "mark.svg").read_bytes()
    made["manifest.webmanifest"] = _json(MANIFEST)
    packages = _packages()
    made[f"program-{hashlib.sha256(packages).hexdigest()[:12]}.zip"] = packages
    decks = {
        f"revisions/{path.name}.gz": gzip.compress(read_plain(path, _MOST), 9, mtime=0) for path in revisions
    }
    made |= decks
    listed = {name: _integrity(hashlib.sha256(content).hexdigest()) for name, content in made.items()}
    made["files.json"] = _json(
        {
            "at": at if runtime is None else "",
            "files": listed | {f"runtime/{name}": _integrity(digest) for name, digest in RUNTIME.items()},
            "revisions": {name: listed[name] for name in decks},
        }
    )
    if runtime is not None:
        made |= {f"runtime/{name}": _checked(runtime / name, digest) for name, digest in RUNTIME.items()}
    whole = _integrity(hashlib.sha256(made["files.json"]).hexdigest())
    made["service.js"] = (static / "service.js").read_bytes().replace(b"INTEGRITY", whole.encode())
    return made


def _integrity(digest: str) -> str:
    """A SHA-256 as W3C Subresource Integrity writes it."""
    return "sha256-" + b64encode(bytes.fromhex(digest)).decode()


def _json(plain: object) -> bytes:
    return (json.dumps(plain, indent=1) + "\n").encode()


def _checked(path: Path, digest: str) -> bytes:
    """A file of the runtime, as it was released."""
    help = f"unpack the npm package `pyodide` {VERSION} and name its folder: --runtime FOLDER"
    try:
        content = read_plain(path, _MOST)
    except OSError:
        raise RecallError(f"there is no `{path}`", help) from None
    if hashlib.sha256(content).hexdigest() != digest:
        raise RecallError(f"`{path}` isn't that of pyodide {VERSION}", help)
    return content


def _packages() -> bytes:
    """The program and what it draws in, as one archive: entries in order, with one date."""
    entries = dict(_program())
    for name in PARTS:
        entries |= dict(_part(distribution(name)))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name in sorted(entries):
            archive.writestr(zipfile.ZipInfo(name, _EARLIEST), entries[name], zipfile.ZIP_DEFLATED, 9)
    return out.getvalue()


def _program() -> Iterator[tuple[str, bytes]]:
    root = Path(str(files("recall")))
    for file in root.rglob("*"):
        name = (PurePosixPath("recall") / file.relative_to(root).as_posix()).as_posix()
        if file.is_file() and not LEFT_OUT.search(name):
            yield name, file.read_bytes()


def _part(part: Distribution) -> Iterator[tuple[str, bytes]]:
    for file in part.files or ():
        name = file.as_posix()
        licence = ".dist-info/" in name and ("licen" in name.lower() or name.endswith("METADATA"))
        if (licence or ".dist-info/" not in name) and not LEFT_OUT.search(name):
            yield name, Path(str(part.locate_file(file))).read_bytes()
