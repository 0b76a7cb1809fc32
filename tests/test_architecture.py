"""Gates on the shape of the code, each with a planted violation that shows that it can fail."""

import subprocess
from pathlib import Path

import architecture
import pytest

TOP = Path(__file__).parent.parent
PACKAGE = TOP / "recall"


def test_imports_go_one_way() -> None:
    """No package imports one that stands after it, and each special library has one home."""
    found = architecture.violations(PACKAGE)

    assert [] == found


@pytest.mark.parametrize(
    ("home", "line"),
    [
        ("base", "from recall.store import Store"),
        ("quantity", "import recall.notes.model"),
        ("kinds", "def late():\n    from recall.deck.model import Deck"),
        ("cli", "from fsrs import Scheduler"),
    ],
)
def test_a_planted_import_is_caught(tmp_path: Path, home: str, line: str) -> None:
    """An import against the table is reported, wherever in the file it stands."""
    (tmp_path / home).mkdir()
    (tmp_path / home / "planted.py").write_text(line + "\n", encoding="utf-8")

    found = architecture.violations(tmp_path)

    assert 1 == len(found)


def test_no_room_but_its_own_asks_for_the_form_of_an_answer() -> None:
    """What differs by form is an answer's own to say."""
    found = architecture.forms_asked(PACKAGE)

    assert [] == found


@pytest.mark.parametrize(
    "line",
    [
        'said = card.answer.form == "prose"',
        'said = {"set": 1}[card.answer.form]',
        "said = isinstance(answer, MembersAnswer)",
        "said = isinstance(answer, (WordsAnswer, TermAnswer))",
        "said = type(answer) is NumberAnswer",
        "match answer:\n    case ProseAnswer():\n        pass",
    ],
)
def test_a_planted_question_for_a_form_is_caught(tmp_path: Path, line: str) -> None:
    """By its name or by its class; making one, or writing its name down, is none."""
    allowed = 'answer = ProseAnswer(("x",))\nsaid = {"form": card.answer.form}\n'
    (tmp_path / "session").mkdir()
    planted = tmp_path / "session" / "planted.py"
    planted.write_text(allowed, encoding="utf-8")
    assert [] == architecture.forms_asked(tmp_path)
    planted.write_text(allowed + line + "\n", encoding="utf-8")

    assert architecture.forms_asked(tmp_path)


def test_every_package_stands_in_the_table() -> None:
    """A new package must say where it stands."""
    packages = {folder.name for folder in PACKAGE.iterdir() if (folder / "__init__.py").exists()}

    assert set(architecture.ORDER) == packages


def long_files(root: Path) -> list[str]:
    """Files of code over 350 lines."""
    return [
        file.name for file in root.rglob("*.py") if len(file.read_text(encoding="utf-8").splitlines()) > 350
    ]


def test_files_stay_short(tmp_path: Path) -> None:
    """A file holds one thing; a long one planted is caught."""
    (tmp_path / "long.py").write_text("x = 1\n" * 351, encoding="utf-8")

    assert ["long.py"] == long_files(tmp_path)
    assert [] == long_files(PACKAGE)


def test_the_top_level_holds_what_belongs_there() -> None:
    """The top level is README.md, DEVELOPERS.md, pyproject.toml, four folders and dot files."""
    listed = subprocess.run(["git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=False).stdout
    if not listed:
        pytest.skip("not a checkout")
    top = {name.split("/")[0] for name in listed.splitlines() if not name.startswith(".")}
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "recall", "decks", "tests", "exports"}

    assert set() == top - allowed
