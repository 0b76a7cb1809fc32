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
LEFT_OUT = re.compile(
    r"(^|/)(__pycache__|tests?|testing|cli|cohort|offline/static)(/|$)|\.(so|pyd|pyi|pyc|c)$|^(bin|\.\.)/"
)
_EARLIEST = (1980, 1, 1, 0, 0, 0)
_MOST = 64 << 20


def build(revisions: Sequence[Path], runtime: Path | None, at: str) -> dict[str, bytes]:
    """Every file of the folder by its path. revisions: published files; runtime: an unpacked npm package
    `pyodide`; at: an address that holds it, where it isn't taken along. Raises RecallError for a runtime that
    isn't VERSION."""
    static = files("recall.offline") / "static"
    made = {
        name: (static / name).read_bytes() for name in ("index.html", "shell.js", "shell.css", "worker.js")
    }
    made["mark.svg"] = (files("recall.web") / "static" / "mark.svg").read_bytes()
    made["manifest.webmanifest"] = _json(
        {
            "name": "recall",
            "short_name": "recall",
            "description": "Aircrew knowledge, kept in the head",
            "start_url": "./",
            "scope": "./",
            "display": "standalone",
            "icons": [{"src": "mark.svg", "sizes": "any", "type": "image/svg+xml", "purpose": "any"}],
        }
    )
    packages = _packages()
    named = f"program-{hashlib.sha256(packages).hexdigest()[:12]}.zip"
    made[named] = packages
    decks = {
        f"revisions/{path.name}.gz": gzip.compress(read_plain(path, _MOST), 9, mtime=0)
        for path in sorted(revisions)
    }
    made |= decks
    integrity = {
        name: "sha256-" + b64encode(bytes.fromhex(digest)).decode() for name, digest in RUNTIME.items()
    }
    source = "" if runtime is not None else f" {at}"
    made["index.html"] = made["index.html"].replace(b"RUNTIME", source.encode())
    made["files.json"] = _json(
        {
            "packages": named,
            "revisions": sorted(decks),
            "runtime": integrity,
            "at": at if runtime is None else "",
            "files": [
                "./",
                "files.json",
                *sorted(name for name in made if name != "index.html"),
                "index.html",
            ],
        }
    )
    if runtime is not None:
        made |= {f"runtime/{name}": _checked(runtime / name, digest) for name, digest in RUNTIME.items()}
    whole = hashlib.sha256()
    for name in sorted(made):
        whole.update(f"{name} {hashlib.sha256(made[name]).hexdigest()}\n".encode())
    service = (static / "service.js").read_bytes()
    made["service.js"] = service.replace(b"DIGEST", f"recall {whole.hexdigest()[:16]}".encode())
    return made


def _json(plain: object) -> bytes:
    return (json.dumps(plain, indent=1, sort_keys=True) + "\n").encode()


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
