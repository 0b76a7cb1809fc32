"""The rules' own pages, a Markdown file each."""

from recall.base.errors import RecallError
from recall.base.finding import RULES


def page(rule: str) -> str:
    """A rule's page. Raises RecallError for a rule that isn't one."""
    if rule not in RULES:
        from difflib import get_close_matches

        near = [known for known in RULES if rule and rule in known]
        near += [known for known in get_close_matches(rule, RULES, 3, 0.5) if known not in near]
        named = " or ".join(f"`{known}`" for known in near[:3])
        raise RecallError(
            f"there is no rule `{rule}`",
            f"near it: {named}" if near else "`recall lint --explain` lists the rules",
        )
    from importlib.resources import files

    return files(__package__).joinpath(f"{rule}.md").read_text(encoding="utf-8").strip()
