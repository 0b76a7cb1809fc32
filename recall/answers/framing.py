"""Words around an amount that say nothing of it: the question's own, and those of any sentence."""

from collections.abc import Collection, Iterator, Sequence

from recall.answers.alike import same_word
from recall.answers.model import Lore
from recall.answers.vocabulary import FIXED, NEGATIONS, OPPOSED, SMALL
from recall.answers.words import within
from recall.base import regex as re
from recall.base.text import word_set, words_of
from recall.quantity import find_unit

_BOUNDS = frozenset(("most", "least"))
_BOUND = re.any_case(r"(?:^|: )(maximum|minimum|normal)\b")
"""Which end a question asks for: the other one may stand in its condition (`at maximum power`)."""
_COMPARING = _BOUNDS | word_set("above below over under than beyond exceed exceeding")
"""Words that say which end is meant, in the question as in the answer."""


def without_question(typed: str, lore: Lore) -> Iterator[str]:
    """What was typed without words of the question before or behind it: `airspeed 62`, `30 knots of wind`. A run of
    them may hold a word that tells something (`rest before flight 9 h`), one alone not (`above 9`)."""
    asked_as = {
        one.replace("-", "").casefold(): one for one in re.findall(r"[^\W\d]+(?:-[^\W\d]+)*", lore.prompt)
    }
    spelt = ((word, asked_as.get(word.replace("-", "").casefold(), "")) for word in typed.split(" "))
    words = [said if said and "-" in word + said else word for word, said in spelt]  # `takeoff`
    prompt = words_of(lore.prompt)
    asked = [word for word in prompt if word not in _FRAME]
    content = [[word for word in words_of(one) or [one.strip(":=")] if word not in _FRAME] for one in words]
    initials = "".join(word[0] for word in prompt)
    plain = {*asked} - FIXED - _BOUNDS - {"maximum", "minimum"}
    plain |= {
        word.casefold() for word in words if word.isupper() and len(word) > 1 and word.casefold() in initials
    }
    if bound := _BOUND.search(lore.prompt):
        plain |= {said := bound[1].casefold(), said[:3]}
    behind = plain | (FIXED & {*asked} - NEGATIONS)

    def passed(some: Sequence[Sequence[str]], alone: Collection[str]) -> bool:
        said = [word for one in some for word in one]
        run = len(said) > 1 and said[-1] not in _COMPARING and within(said, asked)
        return run or all(_is_said(word, alone) for word in said)

    counted = [find_unit(word.rstrip(".,:")) is not None for word in words]
    for last in range(len(words), 0, -1):
        if any(counted[last:]) or not passed(content[last:], behind):
            break
        for first in range(last):
            if passed(content[:first], plain):
                yield " ".join(words[first:last])


def _is_said(word: str, said: Collection[str]) -> bool:
    plain = find_unit(word) is None and not word[0].isdigit()
    return plain and any(
        word == one or (word[0] == one[0] and word not in OPPOSED and same_word(word, one)) for one in said
    )


_FRAME = (
    SMALL
    | word_set("""
    it's its that that's limit limits value range exactly every after only just take takes last lasts allowed
    permitted anywhere in from
""")
    | {""}
)
"""Words before a number, and behind it where they are no units, that say nothing of it."""
