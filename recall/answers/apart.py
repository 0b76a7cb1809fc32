"""What is wrong with typed words: in one sentence, and word by word."""

import difflib

from recall.answers.alike import same_word
from recall.answers.model import Part
from recall.answers.tokens import tokens_of
from recall.answers.vocabulary import NEGATIONS, OPPOSITES, SMALL
from recall.base import regex as re


def why_not(given: str, right: str) -> str:
    """What is wrong with it, in one sentence."""
    ours, due = tokens_of(given), tokens_of(right)
    typed, wanted = ours.words, due.words
    left = [word for word in wanted if word not in typed and not any(same_word(word, one) for one in typed)]
    added = [word for word in typed if word not in wanted and not any(same_word(word, one) for one in wanted)]
    for one in added:
        for two in left:
            if frozenset((one, two)) in OPPOSITES:
                said = "isn't" if "full" in (one, two) else "is the opposite of"
                return f"`{one}` {said} `{two}`"
    if (turned := {*left, *added}) & NEGATIONS and turned <= NEGATIONS | SMALL:
        return "a negation makes the difference"
    if left and not added:
        return "left out: " + ", ".join(map(due.said, left))
    if added and not left:
        return "added: " + ", ".join(map(ours.said, added))
    return "the words differ" if left else "the order differs"


def word_by_word(given: str, right: str) -> tuple[Part, ...]:
    """The words typed, in order, with what was left out and what was added; forgiven hyphens and case aren't told."""
    typed, wanted = (re.sub(r"(?<=\w)-(?=\w)", " ", text).split() for text in (given, right))
    fold = [[" ".join(tokens_of(word).words) or word for word in side] for side in (typed, wanted)]
    known = {word: near for word in fold[0] for near in fold[1] if same_word(word, near)}
    fold[0] = [known.get(word, word) if word not in fold[1] else word for word in fold[0]]
    parts: list[Part] = []
    for what, i, j, k, m in difflib.SequenceMatcher(None, fold[0], fold[1], autojunk=False).get_opcodes():
        if what == "equal":
            parts += [("kept", word) for word in typed[i:j]]
        else:
            parts += [("added", word) for word in typed[i:j]]
            parts += [("left out", word) for word in wanted[k:m]]
    return tuple(parts)
