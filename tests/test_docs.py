"""The project's pages agree with the code."""

import re
from pathlib import Path

import pytest
from cli_kit import TOP, recall
from docs import BEGIN, DEVELOPERS, END, with_rules

from recall.base.finding import RULES
from recall.base.text import CAUTION
from recall.cli.commands import COMMANDS
from recall.kinds.registry import KINDS

README = TOP / "README.md"
SOURCES = [path for folder in ("recall", "tests", "decks", ".ci") for path in (TOP / folder).rglob("*")]


def test_the_rules_in_the_page_are_those_of_the_code() -> None:
    """`python tests/docs.py` would change nothing; a planted change is caught."""
    text = DEVELOPERS.read_text(encoding="utf-8")

    assert text == with_rules(text)
    assert (
        text
        != text.replace("**Mend.**", "**Cure.**", 1)
        != with_rules(text.replace("**Mend.**", "**Cure.**", 1))
    )


def test_every_rule_has_a_page_of_the_same_shape() -> None:
    """What, why it hurts, an example, the cure."""
    pages = [(TOP / "recall/deck/pages" / f"{rule}.md").read_text(encoding="utf-8") for rule in RULES]
    heads = ["Why it hurts", "Example", "Mend"]

    assert [heads] * len(pages) == [re.findall(r"^\*\*(.+?)\.\*\*", page, re.MULTILINE) for page in pages]
    assert set(RULES) == {path.stem for path in (TOP / "recall/deck/pages").glob("*.md")}
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", rule) for rule in RULES)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_documented(command: str) -> None:
    """The README names it, and its help has an example."""
    assert f"recall {command}" in README.read_text(encoding="utf-8")
    assert "Example" in recall(command, "--help").out


def test_the_readme_names_every_kind() -> None:
    """A kind that nobody is told of is no kind."""
    text = README.read_text(encoding="utf-8")

    assert [] == [kind.name for kind in KINDS if f"| {kind.name.replace('-', ' ')} |" not in text]


def test_the_caution_stands_where_it_must() -> None:
    """In the README, in help, in the demo decks."""
    texts = [README.read_text(encoding="utf-8"), recall("--help").out]
    texts += [
        (TOP / "decks" / deck / "deck.md").read_text(encoding="utf-8")
        for deck in ("skerry", "rules-and-weather")
    ]

    assert all(CAUTION in " ".join(text.split()) for text in texts)


def test_no_path_of_a_machine_stands_in_the_project() -> None:
    """The project speaks of itself alone."""
    pattern = re.compile(r"(?<![\w.])/(?:work|farm|opt/rv|root)/")
    found = [
        path.relative_to(TOP).as_posix()
        for path in SOURCES
        if path.is_file() and path.suffix in (".py", ".md", ".css", ".toml", "") and path != Path(__file__)
        if "__pycache__" not in path.parts
        and pattern.search(path.read_text(encoding="utf-8", errors="replace"))
    ]

    assert [] == found
    assert pattern.search("see /" + "work/main")
    assert BEGIN != END


def test_the_two_commands_stand_where_the_checks_look_for_them() -> None:
    """Each marker is followed by a fence with one line, which sets up an environment of its own."""
    text = README.read_text(encoding="utf-8")
    commands = re.findall(r"^<!-- (\w+) -->\n```\n(.+)\n```$", text, re.MULTILINE)

    assert ["review", "tests"] == [name for name, _ in commands]
    assert all(command.startswith("python3 -m venv .venv") for _, command in commands)
