"""Questions about an abbreviation: what the letters stand for, which letters stand for that, what it is for."""

import re

from recall.base.text import one_line
from recall.kinds import shortform
from recall.kinds.cells import leaks, same_words
from recall.kinds.model import Draft, Form, Point

_MOST_SPELLED = 5
_MOST_TYPED = 9
"""Words of a meaning that a person can be asked to type."""


def questions(point: Point) -> list[Draft]:
    """What it stands for, which letters stand for that, and what it is for."""
    term, meanings, noun = point.subject, point.fields["meaning"], point.wording["noun"]
    spelled = noun == "abbreviation" and all(_spells(term, text) for text in meanings)
    cores = [shortform.core_of(term, text) or _without(term, text) for text in meanings]
    other = [core for core in cores if not any(same_words(core, meaning) for meaning in meanings)]
    quoted = " and also ".join(f"“{core}”" for core in cores)
    if len(meanings) > 1:
        asked = f"Which meanings does {_name(term, spelled)} have?"
    else:
        asked = f"What does {_name(term, spelled)} {'stand for' if spelled else 'mean'}?"
    drafts = [
        Draft(
            "meaning",
            asked,
            meanings,
            _form(term, meanings),
            _signs(meanings),
            {"also": other} if other else {},
        ),
        Draft(
            "abbreviation",
            f"Which {noun} {'stands for' if spelled else 'means'} {quoted}?",
            (term,),
            "term",
        ),
    ]
    if role := point.fields.get("role"):
        drafts.append(Draft("role", f"What is the role of {_name(term, spelled)}?", role, "prose"))
    return [draft for draft in drafts if not leaks(draft.prompt, draft.answer)]


def _form(term: str, meanings: tuple[str, ...]) -> Form:
    cores = [shortform.core_of(term, text) or text for text in meanings]
    if any(len(core.split()) > _MOST_TYPED for core in cores):
        return "prose"
    if len(meanings) > 1:
        return "set" if all(map(same_words, cores, meanings)) else "prose"
    return "words"


def _signs(meanings: tuple[str, ...]) -> tuple[str, ...]:
    """What meanings in Morse are compared by, since there every stop counts; nothing for words."""
    return () if any(any(map(str.isalnum, text)) for text in meanings) else tuple(sorted(meanings))


def _spells(term: str, meaning: str) -> bool:
    """Whether a meaning spells the letters out, rather than explains them."""
    return shortform.agrees(term, meaning) or len(meaning.split()) <= _MOST_SPELLED


def _name(term: str, spelled: bool) -> str:
    return term if spelled else f"“{term}”"


def _without(term: str, meaning: str) -> str:
    """A meaning without its own letters in brackets."""
    return one_line(re.sub(rf"\s*[(\[]{re.escape(term)}[)\]]", "", meaning))
