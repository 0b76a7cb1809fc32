"""Which package may import which, as a table, and a reader of imports that can be pointed at a planted tree."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ORDER = (
    "base",
    "quantity",
    "notes",
    "schedule",
    "answers",
    "kinds",
    "deck",
    "store",
    "insight",
    "checkride",
    "session",
    "publish",
    "cohort",
    "web",
    "offline",
    "cli",
)
"""Everything imports only what stands before it."""

APART = frozenset(("quantity", "notes", "schedule"))
"""These don't import one another."""

ONLY = {
    "fsrs": "schedule",
    "markdown_it": "notes",
    "mdit_py_plugins": "notes",
    "sqlite_utils": "store",
    "typer": "cli",
    "starlette": "web",
    "jinja2": "web",
    "uvicorn": "cli",
    "ibis": "cohort",
    "pyarrow": "cohort",
    "nacl": "cohort",
}
"""Libraries that one package alone may import."""


@cache
def parsed(text: str) -> list[ast.AST]:
    """All that a module's text is made of."""
    return [*ast.walk(ast.parse(text))]


def imports_of(file: Path) -> Iterator[tuple[str, int]]:
    """Every module that a file imports, with its line."""
    for node in parsed(file.read_text(encoding="utf-8")):
        if isinstance(node, ast.Import):
            yield from ((alias.name, node.lineno) for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module, node.lineno


ASKED = (
    "NumberAnswer",
    "WordsAnswer",
    "TermAnswer",
    "MembersAnswer",
    "RecitalAnswer",
    "ProseAnswer",
    "ReadingAnswer",
)
"""Classes of answers: any room may make one, none but `answers` asks whether one is of a class."""


def forms_asked(root: Path) -> list[str]:
    """Where a room other than `answers` asks which form an answer has, by its class or by its name in JSON, as
    `package/file.py:line`. root: the folder of the package."""
    found = []
    for file in sorted(root.rglob("*.py")):
        name = file.relative_to(root).as_posix()
        if name.startswith("answers/"):
            continue
        for node in parsed(file.read_text(encoding="utf-8")):
            called = isinstance(node, ast.Call) and getattr(node.func, "id", "") in (
                "isinstance",
                "issubclass",
            )
            looked_up = isinstance(node, ast.Compare | ast.Subscript)
            if not (called or looked_up or isinstance(node, ast.MatchClass)):
                continue
            said = ast.unparse(node)
            by_class = not isinstance(node, ast.Subscript) and any(form in said for form in ASKED)
            if by_class or (looked_up and "answer.form" in said):
                found.append(f"{name}:{getattr(node, 'lineno', 0)}")
    return found


def violations(root: Path) -> list[str]:
    """Imports against the table, as `package/file.py:line imports module`. root: the folder of the package."""
    found = []
    for file in sorted(root.rglob("*.py")):
        parts = file.relative_to(root).parts
        home = parts[0] if len(parts) > 1 else ""
        for module, line in imports_of(file):
            names = module.split(".")
            wrong = names[0] in ONLY and ONLY[names[0]] != home
            if names[0] == "recall" and len(names) > 1 and home in ORDER and names[1] in ORDER:
                wrong = ORDER.index(names[1]) > ORDER.index(home)
                wrong |= {home, names[1]} <= APART and home != names[1]
            if wrong:
                found.append(f"{file.relative_to(root).as_posix()}:{line} imports {module}")
    return found
