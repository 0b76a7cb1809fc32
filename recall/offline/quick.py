"""What Python compiled once, kept beside its text: the runtime brings its library as text alone, and so does this
program."""

import io
import marshal
import sys
import zipfile
from collections.abc import Callable
from importlib.util import MAGIC_NUMBER, cache_from_source
from pathlib import Path

PROGRAM, LIBRARY = "/lib/recall", "/lib/python314.zip"
"""Where both are imported from: a folder, into which `PROGRAM.zip` was unpacked, and an archive."""
_HEAD = MAGIC_NUMBER + (1).to_bytes(4, "little") + bytes(8)
"""Of a compiled file that is used without a look at its text (PEP 552, hash-based and unchecked)."""


def grown(known: int) -> tuple[int, bytes, bytes] | None:
    """How many modules are imported by now, and program and library with their code; None where they are as many as
    are `known`."""
    found = _imported()
    if len(found) == known:
        return None
    program = _archive(Path(f"{PROGRAM}.zip"), PROGRAM, found, cache_from_source)
    return len(found), program, _archive(Path(LIBRARY), LIBRARY, found, lambda name: f"{name}c")


def _imported() -> set[str]:
    """The files of all modules that were imported from text."""
    specs = (getattr(module, "__spec__", None) for module in list(sys.modules.values()))
    origins = (spec.origin for spec in specs if spec is not None and isinstance(spec.origin, str))
    return {
        origin.removesuffix("c") for origin in origins if origin.startswith((f"{PROGRAM}/", f"{LIBRARY}/"))
    }


def _archive(given: Path, root: str, wanted: set[str], place: Callable[[str], str]) -> bytes:
    """An archive with what is wanted of it compiled, at its `place`."""
    out = io.BytesIO()
    with zipfile.ZipFile(given) as before, zipfile.ZipFile(out, "w") as made:
        names = set(before.namelist())
        for name in sorted(names):
            content = before.read(name)
            made.writestr(name, content)
            if f"{root}/{name}" in wanted and (compiled := place(name)) not in names:
                made.writestr(compiled, _HEAD + _code(f"{root}/{name}", content))
    return out.getvalue()


def _code(file: str, text: bytes) -> bytes:
    kept = Path(cache_from_source(file))
    if kept.exists():
        return kept.read_bytes()[len(_HEAD) :]
    return marshal.dumps(compile(text, file, "exec", dont_inherit=True))
