"""Typed prose beside the answer that a person marks it by: which of the words that matter are there, and which
amounts are others."""

from collections.abc import Sequence
from functools import lru_cache

from recall.answers.alike import same_meaning, same_word
from recall.answers.match import matches, read_answer
from recall.answers.spelt import with_digits
from recall.answers.tokens import Tokens, tokens_of
from recall.answers.vocabulary import NEGATIONS
from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.text import word_set, words_of
from recall.quantity import Span

_FUNCTION = word_set("""
    a about after all also an and any are as at be because been before both but by can could did do does each
    either else every few for from had has have he her here his how i if in into is it its itself just may me
    might more most much must my nor of on once one only or other our out over own per shall she should so
    some such than that the their them then there these they this those through to too under up us very was we
    were what when where which while who whom whose why will with would you your
""")
"""Words that say nothing by themselves; `not`, `no`, `off` and the like do. Common practice, no source."""


_MOST_WORDS = 9
"""Of an amount: `not less than or equal to 5 t each`."""
_ONE = re.compile(r"(?=[^\d]*\d)(?:(?![,;:.!] ).)+")
_LEAD = re.compile(r"[^\d.]*")


@dataclass(frozen=True, slots=True)
class Amount:
    """text: as it stands, with its unit and its side (`above 60 KIAS`)."""

    text: str
    span: Span

    def says(self, right: "Amount") -> bool:
        """Whether it is the right one: of one with a side the number alone says it too, of a plain one any end; the
        words around them may say the side."""
        span, plain = self.span, right.span.low is None and right.span.high is None
        ends = [end for end in (span.low, span.high, span.value) if end is not None] if plain else []
        spans = [replace(span, low=None, high=None, value=end) for end in ends] or [span]
        return any(matches(one, right.span).right for one in spans)

    @property
    def ends(self) -> tuple[object, ...]:
        """Its numbers."""
        return tuple(one and one.value for one in (self.span.low, self.span.high, self.span.value))

    def is_like(self, right: "Amount") -> bool:
        """Whether it has a number of another one, or its unit."""
        shared = {*self.ends} & {*right.ends} - {None}
        return bool(shared) or (self.span.unit is not None and self.span.unit == right.span.unit)

    def given_for(self, right: "Amount") -> str:
        """A sentence: that it isn't another one."""
        sides = {tuple(end is not None for end in one.ends) for one in (self, right)}
        is_ = "is the opposite of" if sides == {(True, False, False), (False, True, False)} else "isn't"
        return f"`{self.text}` {is_} `{right.text}`"


@dataclass(frozen=True, slots=True)
class Compared:
    """missing: what matters of the answer and isn't in what was given, as the answer spells it; other: a sentence of
    each amount that was given for another, and of a negation that the answer hasn't; shared: whether anything that
    matters is in it."""

    missing: tuple[str, ...]
    other: tuple[str, ...]
    shared: bool


def compared(given: str, answer: Sequence[str], prompt: str) -> Compared:
    """Typed prose beside the answer. Other forms of a word count as it does, and what says the same; words of the
    question don't count, nor does a unit that is left out. Of several parts that all say an amount, amounts alone are
    what is shared."""
    parts, typed = [_parted(text) for text in answer], _parted(given)[1]
    due, said, asked = tokens_of(" ".join(rest for rest, _ in parts)), tokens_of(given), tokens_of(prompt)
    amounts = [one for _, own in parts for one in own]
    passed = _FUNCTION.union(*(tokens_of(one.text).words for one in amounts))
    matters: dict[str, bool] = {}
    for at, word in enumerate(due.words):
        if word not in passed and not _among(due, at, asked):
            matters[word] = matters.get(word, False) or _among(due, at, said)
    missing, other = [due.said(word) for word, found in matters.items() if not found], list[str]()
    if not missing and NEGATIONS.isdisjoint((*due.words, *asked.words)):
        other += [f"`{said.said(word)}` turns it round" for word in said.words if word in NEGATIONS][:1]
    strange = [one for one in typed if not any(one.says(right) for right in amounts)]
    known = 0
    for right in amounts:
        fits = [one for one in typed if one.says(right)]
        known += bool(fits)
        if fits and (right.span.value is not None or any(one.span.value is None for one in fits)):
            continue
        lead = words_of(_LEAD.match(right.text)[0]) if fits else []  # type: ignore[index]
        if instead := next((one for one in strange if one.is_like(right) and not fits), None):
            other.append(instead.given_for(right))
        elif not (lead and {*lead} <= {*words_of(prompt)}) and {*right.ends}.isdisjoint(
            asked.numbers.values()
        ):
            missing.append(" ".join(lead) or right.text)
    counted = len(parts) > 1 and all(own for _, own in parts)
    shared = bool(known) or (any(matters.values()) and not counted) or not (matters or amounts)
    return Compared(tuple(missing), tuple(other), shared)


@lru_cache(maxsize=64)
def _parted(text: str) -> tuple[str, tuple[Amount, ...]]:
    """A text without its amounts, and these: around each number as many words as are one with it."""
    words, rest, found = with_digits(text).split(), list[str](), list[Amount]()
    while words:
        for end in range(min(len(words), _MOST_WORDS), 0, -1):
            said = " ".join(words[:end]).strip(".,;:!()")
            span = read_answer(said) if _ONE.fullmatch(said) else None
            if span is not None:
                found.append(Amount(said, span))
                break
        else:
            end = 1
            rest += words[:1]
        del words[:end]
    return " ".join(rest), tuple(found)


def _among(due: Tokens, at: int, text: Tokens) -> bool:
    """Whether a text says a word or a number of the answer."""
    if at in due.numbers:
        return due.numbers[at] in text.numbers.values()
    word = due.words[at]
    return any(same_word(word, one) or same_meaning(word, one) for one in text.words)
