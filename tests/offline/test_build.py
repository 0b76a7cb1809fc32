"""The folder of the page: complete, small, the same every time."""

import gzip
import hashlib
import io
import json
import re
import struct
import zipfile
from pathlib import Path
from urllib.parse import urljoin

import pytest
from cli_kit import recall, refused
from offline_decks import NOTE, parts
from tablet_kit import integrity

from recall.offline import build as building
from recall.offline.build import RUNTIME, build

AT = "https://example.org/pyodide/"


@pytest.fixture(scope="module")
def revision(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A signed revision that no test changes."""
    return parts(tmp_path_factory.mktemp("revision"))


@pytest.fixture(scope="module")
def made(revision: Path) -> dict[str, bytes]:
    """Its page, without the runtime."""
    return build([revision], None, AT)


def test_a_start_says_how_far_it_is(made: dict[str, bytes]) -> None:
    """Each of its steps in order, under a bar that moves."""
    assert ["1", "2", "3", "4"] == re.findall(r"step\((\d),", made["worker.js"].decode())
    assert b"of 4:" in made["worker.js"]
    assert b"<progress" in made["index.html"]


def test_the_same_input_gives_the_same_bytes(revision: Path, made: dict[str, bytes]) -> None:
    """Twice."""
    assert made == build([revision], None, AT)


def test_without_the_runtime_it_is_small(made: dict[str, bytes]) -> None:
    """Under 3 MB."""
    assert sum(map(len, made.values())) < 3_000_000


def test_every_file_is_listed_with_its_hash(made: dict[str, bytes]) -> None:
    """In the form of W3C Subresource Integrity 3.1; the list itself is named so by the service worker, which is the
    one file that a browser compares by itself (W3C Service Workers, Update)."""
    listed = json.loads(made["files.json"])["files"]

    assert set(made) - {"service.js", "files.json"} == {name for name in listed if "runtime/" not in name}
    assert [] == [name for name, digest in listed.items() if name in made and digest != integrity(made[name])]
    assert integrity(made["files.json"]).encode() in made["service.js"]


def test_what_is_packed_is_plain_python(made: dict[str, bytes]) -> None:
    """Nothing compiled, no tests, nothing of the terminal; each part with its licence."""
    names = zipfile.ZipFile(
        io.BytesIO(next(made[name] for name in made if name.startswith("program-")))
    ).namelist()

    assert [] == [name for name in names if re.search(r"\.(so|pyd|pyc)$|/tests?/|recall/cli/", name)]
    assert {"recall/offline/boot.py", "recall/web/templates/base.html", "starlette/routing.py"} <= set(names)
    assert len(building.PARTS) == len({name.split("/")[0] for name in names if ".dist-info/" in name})


def test_the_revision_is_the_signed_one(revision: Path, made: dict[str, bytes]) -> None:
    """Byte for byte."""
    assert revision.read_bytes() == gzip.decompress(made["revisions/parts-r1.zip.gz"])


def test_the_manifest_has_what_installing_needs(made: dict[str, bytes]) -> None:
    """Members of the W3C Web Application Manifest: the start lies within the scope, the display mode is one of its
    four, each picture says its sizes as it has them (PNG, ISO/IEC 15948, 11.2.2, IHDR). From memory: what Chromium
    asks for, an icon of 144 pixels or of any size."""
    manifest = json.loads(made["manifest.webmanifest"])
    root = "https://example.org/crew/"
    start, scope = (urljoin(root, manifest[name]) for name in ("start_url", "scope"))
    sizes = {icon["sizes"]: made[icon["src"]] for icon in manifest["icons"]}

    assert start.startswith(scope)
    assert manifest["display"] in ("fullscreen", "standalone", "minimal-ui", "browser")
    assert {"name", "short_name", "id", "lang", "background_color"} <= set(manifest)
    assert b"<svg" in sizes["any"]
    assert (512, 512) == struct.unpack(">II", sizes["512x512"][16:24])


def test_what_is_changed_makes_another_page(made: dict[str, bytes]) -> None:
    """Any file that is changed changes the service worker's own bytes, by which a browser sees that there is a newer
    page (W3C Service Workers, Update: byte for byte)."""

    assert made["service.js"] != build([], None, AT)["service.js"]


def test_a_runtime_of_another_version_is_refused(published: Path, tmp_path: Path) -> None:
    """By its hashes."""
    for name in RUNTIME:
        tmp_path.joinpath(name).write_bytes(b"another")

    assert refused(recall("export", "page", published, "--out", tmp_path / "site", "--runtime", tmp_path))


def test_a_runtime_is_taken_along_as_it_was_released(published: Path, runtime: Path, tmp_path: Path) -> None:
    """Each file with its SHA-256; all of it under 25 MB."""
    assert 0 == recall("export", "page", published, "--out", tmp_path / "site", "--runtime", runtime).code
    taken = {
        name: hashlib.sha256((tmp_path / "site" / "runtime" / name).read_bytes()).hexdigest()
        for name in RUNTIME
    }

    assert dict(RUNTIME) == taken
    assert sum(file.stat().st_size for file in (tmp_path / "site").rglob("*") if file.is_file()) < 25_000_000


@pytest.mark.parametrize("words", [(), ("--runtime-at", "http://example.org")])
def test_a_page_without_a_runtime_is_refused(published: Path, tmp_path: Path, words: tuple[str, ...]) -> None:
    """It needs Python for browsers, from a folder or a secure address."""
    assert refused(recall("export", "page", published, "--out", tmp_path / "site", *words))


def test_a_folder_of_something_else_is_left_alone(published: Path, tmp_path: Path) -> None:
    """Nothing of it is written over."""
    assert refused(recall("export", "page", published, "--out", tmp_path, "--runtime-at", AT))


def test_revisions_are_taken_in_by_their_numbers(tmp_path: Path) -> None:
    """Of a folder of them the tenth comes behind the second, so that none is refused as a step back."""
    notes = tmp_path / "parts"
    notes.mkdir()
    recall("keys", "new", tmp_path / "me.key")
    for number in ("2", "10"):
        text = NOTE.replace("revision: 1", f"revision: {number}")
        notes.joinpath("deck.md").write_text(text, encoding="utf-8")
        recall("publish", notes, "--sign", tmp_path / "me.key", "--out", tmp_path / "out")
    recall("export", "page", tmp_path / "out", "--out", tmp_path / "site", "--runtime-at", AT)
    listed = json.loads((tmp_path / "site" / "files.json").read_bytes())["revisions"]

    assert ["revisions/parts-r2.zip.gz", "revisions/parts-r10.zip.gz"] == list(listed)
