"""The rules' own pages, a Markdown file each."""

from importlib.resources import files

from recall.base.errors import RecallError
from recall.base.finding import RULES


def page(rule: str) -> str:
    """A rule's page. Raises RecallError for a rule that isn't one."""
    if rule not in RULES:
        from difflib import get_close_matches

        near = get_close_matches(rule, RULES, 1, 0.4)
        raise RecallError(
            f"there is no rule `{rule}`",
            f"did you mean `{near[0]}`?" if near else "rules are: " + ", ".join(RULES),
        )
    return files(__package__).joinpath(f"{rule}.md").read_text(encoding="utf-8").strip()
