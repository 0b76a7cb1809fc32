"""Questions about an abbreviation: what the letters stand for, which letters stand for that, or do that."""

from recall.answers import Answer, MembersAnswer, ProseAnswer, TermAnswer, WordsAnswer
from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.model import Draft, Point
from recall.kinds.prose import shortform
from recall.kinds.tables.cells import leaks
from recall.kinds.tables.joining import same_words

_DOES = re.compile(r"\w{2,}[^\Ws]s (?:the|an?|its|all|both|each|every)\b", re.IGNORECASE)
"""Begins a role that tells what a thing does, so that it can be named by it."""
_MOST_SPELLED = 5
"""Words that may stand for letters with which they don't agree; more explain them."""
_MOST_TYPED = 9
"""Words of a meaning that a person can be asked to type."""


def questions(point: Point) -> list[Draft]:
    """What it stands for; which letters stand for that, where nobody can spell them from it; which have a role that
    tells."""
    term, meanings, noun = point.subject, point.fields["meaning"], point.wording["noun"]
    spelt = [shortform.core_of(term, text) for text in meanings]
    cores = [core or _without(term, text) for core, text in zip(spelt, meanings, strict=True)]
    spelled = noun == "abbreviation" and all(
        core or len(text.split()) <= _MOST_SPELLED for core, text in zip(spelt, meanings, strict=True)
    )
    other = [core for core in cores if not any(same_words(core, meaning) for meaning in meanings)]
    quoted = " and also ".join(f"“{core}”" for core in cores)
    if len(meanings) > 1:
        asked = f"Which meanings does {_name(term, spelled)} have?"
    else:
        asked = f"What does {_name(term, spelled)} {'stand for' if spelled else 'mean'}?"
    drafts = [Draft("meaning", asked, _answer(cores, meanings, tuple(other)))]
    if not all(shortform.spells(core, term) for core in cores):
        stands = "stands for" if spelled else "means"
        drafts.append(Draft("abbreviation", f"Which {noun} {stands} {quoted}?", TermAnswer((term,))))
    if (role := point.fields.get("role")) and _DOES.match(role[0]):
        asked = f"Which {noun} has the role “{role[0]}”?"
        drafts.append(Draft("whose-role", asked, TermAnswer((term,))))
    return [draft for draft in drafts if not leaks(draft.prompt, draft.answer.texts)]


def _answer(cores: list[str], meanings: tuple[str, ...], other: tuple[str, ...]) -> Answer:
    signs = _signs(meanings)
    if any(len(core.split()) > _MOST_TYPED for core in cores):
        return ProseAnswer(meanings, signs)
    if len(meanings) > 1:
        return (MembersAnswer if all(map(same_words, cores, meanings)) else ProseAnswer)(meanings, signs)
    return WordsAnswer(meanings, signs, also=other)


def _signs(meanings: tuple[str, ...]) -> tuple[str, ...]:
    """What meanings in Morse are compared by, since there every stop counts; nothing for words."""
    return () if any(any(map(str.isalnum, text)) for text in meanings) else tuple(sorted(meanings))


def _name(term: str, spelled: bool) -> str:
    return term if spelled else f"“{term}”"


def _without(term: str, meaning: str) -> str:
    """A meaning without its own letters in brackets."""
    for own in (f"({term})", f"[{term}]"):
        meaning = meaning.replace(own, "")
    return one_line(meaning)
