"""The parts of the project's pages that are generated from the code. `python tests/docs.py` writes them anew."""

from pathlib import Path

from recall.base.finding import RULES
from recall.deck.pages import page

DEVELOPERS = Path(__file__).parent.parent / "DEVELOPERS.md"
BEGIN, END = "<!-- rules -->\n", "<!-- /rules -->\n"


def rules() -> str:
    """Every rule's page, as `recall lint --explain RULE` shows it."""
    parts = [f"### {rule}\n\n*{severity}.* {page(rule)}\n" for rule, severity in RULES.items()]
    return "\n" + "\n".join(parts) + "\n"


def with_rules(text: str) -> str:
    """The page with its rules section as the code has it."""
    head, rest = text.split(BEGIN)
    _, tail = rest.split(END)
    return head + BEGIN + rules() + END + tail


if __name__ == "__main__":
    DEVELOPERS.write_text(with_rules(DEVELOPERS.read_text(encoding="utf-8")), encoding="utf-8")
