"""What Python compiled is kept beside its text, and used without a look at it."""

import io
import subprocess
import sys
import zipfile
from collections.abc import Callable
from importlib.util import cache_from_source
from pathlib import Path

import pytest

from recall.offline.quick import _archive

PARTS = {"parts/__init__.py": "", "parts/one.py": "NAME = 'one'\n", "parts/two.py": "NAME = 'two'\n"}


@pytest.mark.parametrize(
    ("place", "at"),
    [("made.zip", lambda name: f"{name}c"), ("made", cache_from_source)],
    ids=["zip", "folder"],
)
def test_a_compiled_module_is_imported_without_its_text(
    tmp_path: Path, place: str, at: Callable[[str], str]
) -> None:
    """From an archive as from a folder (PEP 552, unchecked); what wasn't wanted stays text alone."""
    with zipfile.ZipFile(tmp_path / "given.zip", "w") as given:
        for name, text in PARTS.items():
            given.writestr(name, text)
    with zipfile.ZipFile(
        io.BytesIO(_archive(tmp_path / "given.zip", "/lib", {"/lib/parts/one.py"}, at))
    ) as made:
        files = {name: made.read(name) for name in made.namelist()} | {"parts/one.py": b"raise SystemExit\n"}
    with zipfile.ZipFile(tmp_path / "made.zip", "w") as changed:
        for name, content in files.items():
            changed.writestr(name, content)
    if place == "made":
        zipfile.ZipFile(tmp_path / "made.zip").extractall(tmp_path / place)
    words = f"import sys; sys.path.insert(0, {str(tmp_path / place)!r})"
    code = f"{words}; from parts import one, two; print(one.NAME, two.NAME)"
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)

    assert "one two" == ran.stdout.strip()
