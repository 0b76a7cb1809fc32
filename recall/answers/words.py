"""Typed words against the right ones: what is forgiven, and what never is."""

import difflib
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from recall.answers.match import matches
from recall.answers.model import NO_LORE, Lore, Part
from recall.answers.slips import forgiven_slip
from recall.answers.tokens import Tokens, is_passed, tokens_of
from recall.answers.vocabulary import (
    ARTICLES,
    GENERAL,
    LONG,
    NEGATIONS,
    OPPOSED,
    OPPOSITES,
    SIDES,
    SMALL,
    spelling,
)
from recall.base.text import one_line, without_hidden, words_of
from recall.quantity import Number, Span, Unit, find_unit

_DASHES = str.maketrans("‐‑‒–—−·•∙", "------...")
_MOST_JOINED = 3
_LEAST_NAMED = 2
_NOTHING: frozenset[str] = frozenset()
_COMPARED = frozenset("<>≤≥")
_BEHIND = frozenset("%°")


@dataclass(slots=True)
class Reading:
    """One comparison. exact: only case, blanks, punctuation, and units and signs in another notation are forgiven.
    best: the furthest place that was reached in the right answer, for what to say of a wrong one."""

    typed: Tokens
    wanted: Tokens
    lore: Lore = NO_LORE
    exact: bool = False
    small: frozenset[str] | set[str] = field(default_factory=lambda: SMALL)

    def __post_init__(self) -> None:
        """Words that may be left out stand beside others."""
        if self.exact or all(is_passed(self.wanted, at, self.small) for at in range(len(self.wanted.words))):
            self.small = _NOTHING

    def ends(self, begin: int) -> Iterator[tuple[int, tuple[str, ...]]]:
        """Where the whole right answer may end, if it begins at a typed word; with the slips that were forgiven."""
        seen: set[tuple[int, int]] = set()
        stack: list[tuple[int, int, tuple[str, ...]]] = [(begin, 0, ())]
        while stack:
            i, j, slips = stack.pop()
            if (i, j) in seen:
                continue
            seen.add((i, j))
            if j == len(self.wanted.words):
                yield i, slips
            stack += reversed([(ni, nj, slips + more) for ni, nj, more in self._steps(i, j)])

    def whole(self, begin: int = 0) -> tuple[str, ...] | None:
        """The slips, where all that was typed is the right answer; None where it isn't."""
        ends = (slips for end, slips in self.ends(begin) if end == len(self.typed.words))
        return next(ends, None)

    def _steps(self, i: int, j: int) -> Iterator[tuple[int, int, tuple[str, ...]]]:
        typed, wanted = self.typed.words, self.wanted.words
        more, due = i < len(typed), j < len(wanted)
        if more and due:
            if typed[i] == wanted[j] or (not self.exact and same_word(typed[i], wanted[j])):
                yield i + 1, j + 1, ()
            if i in self.typed.numbers and j in self.wanted.numbers:
                for end, ended in self._amounts(i, j):
                    yield end, ended, ()
            yield from self._joined(i, j)
            if not self.exact and forgiven_slip(typed[i], wanted[j], self.lore.knows):
                yield i + 1, j + 1, (self.wanted.said(wanted[j]),)
        if more and is_passed(self.typed, i, self.small) and not self._another_sign(typed[i]):
            yield i + 1, j, ()
        if due and is_passed(self.wanted, j, self.small):
            yield i, j + 1, ()

    def _another_sign(self, word: str) -> bool:
        """Whether a sign behind a number is none that the right one bears; a bare one may be degrees (`flap 15`)."""
        due = {one for one in self.wanted.words if one in _BEHIND}
        return word in _BEHIND and word not in due and bool(due or word == "%")

    def _joined(self, i: int, j: int) -> Iterator[tuple[int, int, tuple[str, ...]]]:
        """Up to three words that are one word written apart, on either side."""
        for joined in range(2, _MOST_JOINED + 1):
            for one, two in ((joined, 1), (1, joined)):
                typed, wanted = self.typed.words[i : i + one], self.wanted.words[j : j + two]
                if len(typed) < one or len(wanted) < two or not _may_join(typed, wanted):
                    continue
                left, right = spelling("".join(typed)), spelling("".join(wanted))
                if left == right or (not self.exact and same_word(left, right)):
                    yield i + one, j + two, ()
                elif not self.exact and forgiven_slip(left, right, self.lore.knows):
                    yield i + one, j + two, (" ".join(map(self.wanted.said, wanted)),)

    def _amounts(self, i: int, j: int) -> Iterator[tuple[int, int]]:
        """Where two numbers with or without their units are one amount. The unit of the right one may be left out
        where it can't be a letter of a name (`24 V`, `bus 1 A`), or a comparison stands before it."""
        one, two = self.typed.numbers[i], self.wanted.numbers[j]
        compared = j > 0 and self.wanted.words[j - 1] in _COMPARED
        for ended, due, signs in self.wanted.units[j]:
            for end, unit, _ in self.typed.units[i]:
                if matches(_span(one, unit), _span(two, due)).right:
                    yield end, ended
            if one == two and not self.exact and (signs > 1 or compared):
                yield i + 1, ended
        if one == two:
            yield i + 1, j + 1
            yield from (
                (end, j + 1)
                for end, unit, _ in self.typed.units[i]
                if unit.name in "%°" and not self._another_sign(unit.name)
            )


def _span(number: object, unit: Unit) -> Span:
    return Span(value=Number(number, str(number)), unit=unit)  # type: ignore[arg-type]


@lru_cache(maxsize=8192)
def same_word(one: str, two: str) -> bool:
    """Whether two words say the same: one is the other's everyday short form, its plural, or the same unit."""
    if min(len(one), len(two)) > 1 and (unit := find_unit(one)) is not None and unit == find_unit(two):
        return True
    if two in LONG.get(one, ()) or one in LONG.get(two, ()):
        return True
    if len(one) > len(two):
        one, two = two, one
    if len(one) < 3 or one in OPPOSED or not two.isalpha() or one.endswith("s"):
        return len(one) > 3 and one.endswith("ss") and two == one + "es"
    return two in (one + "s", one + "es") or (one.endswith("y") and two == one[:-1] + "ies")


def _may_join(typed: Sequence[str], wanted: Sequence[str]) -> bool:
    """Digits don't run into what stands before them (`1 1` isn't `11`), and a negation stays a word (`not able` isn't
    `notable`), but for the prefix `non`."""
    for side in (typed, wanted):
        named = len(side) == 2 and side[0].isalpha() and len(side[0]) > 2 and side[1].isdigit()  # `TRU1`
        if not named and any(not word[0].isalpha() for word in side[1:]):
            return False
    counts = [sum(word in NEGATIONS and word != "non" for word in side) for side in (typed, wanted)]
    return counts[0] == counts[1]


def compare(given: str, right: str, lore: Lore = NO_LORE, *, exact: bool = False) -> tuple[str, ...] | None:
    """The slips that were forgiven, where what was typed is right; None where it isn't. Without a letter or digit
    every sign counts (`-.-.`)."""
    wanted = tokens_of(right)
    if not wanted.words:
        return () if _signs(given) == _signs(right) else None
    typed = tokens_of(given)
    if not typed.words:
        return None
    if lore.names and _is_enough(typed.words, wanted.words, lore):
        return ()
    for one, two in _forms(given, right, lore) if not exact else [(typed, wanted)]:
        reading = Reading(one, two, lore, exact)
        slips = reading.whole()
        if slips is not None:
            return slips
        for begin in () if exact or _PARTED.search(given) else _leads(one, lore):
            slips = reading.whole(begin)
            if slips is not None:
                return slips
    return None


def _is_enough(typed: Sequence[str], wanted: Sequence[str], lore: Lore) -> bool:
    """Whether a name without its last word (`water rudder` for its actuator) can mean nothing else of the deck."""
    name, last = [word for word in typed if word not in ARTICLES], wanted[-1]
    if last not in GENERAL or len(name) < _LEAST_NAMED or name != list(wanted[:-1]):
        return False
    for text in lore.says(" ".join(name)):
        words = [*tokens_of(text).words, ""]
        for at in range(len(words) - len(name)):
            if words[at : at + len(name)] == name and words[at + len(name)] != last:
                return False
    return True


_SERIES = re.compile(r"(?<=[^\W\d])\s*[,;/+]\s*(?:and\b\s*)?(?=[^\W\d])", re.IGNORECASE)
"""A mark between words that may stand for an `and`."""


def _forms(given: str, right: str, lore: Lore) -> Iterator[tuple[Tokens, Tokens]]:
    """What was typed and what is right, as they stand; with `and` for a comma; with the other of two alternatives
    first; with numbers of things at the end; with abbreviations of the deck written out."""
    typed, wanted = tokens_of(given), tokens_of(right)
    yield typed, wanted
    if "and" in wanted.words and _SERIES.search(given):
        yield tokens_of(_SERIES.sub(" and ", given)), wanted
    if wanted.words.count("or") == 1 and not NEGATIONS & {*wanted.words}:
        yield typed, tokens_of(" or ".join(re.split(r"\s+or\s+", right, flags=re.IGNORECASE)[::-1]))
    if typed.counts or wanted.counts:
        yield _counts_last(typed, wanted), _counts_last(wanted, typed)
    short = _written_out(lore, right)
    if any(word in short for word in (*typed.words, *wanted.words)):
        yield _out(typed, short), _out(wanted, short)


def _counts_last(tokens: Tokens, other: Tokens) -> Tokens:
    """The same words, with a number that names a thing (`No 1 fan`) behind all others, on both sides alike."""
    named = {tokens.words[at] for at in tokens.counts} | {other.words[at] for at in other.counts}
    last = [at for at, word in enumerate(tokens.words) if word in named]
    order = [at for at in range(len(tokens.words)) if at not in last] + sorted(
        last, key=tokens.words.__getitem__
    )
    return _picked(tokens, order)


def _picked(tokens: Tokens, order: Sequence[int]) -> Tokens:
    place = {at: new for new, at in enumerate(order)}
    return Tokens(
        [tokens.words[at] for at in order],
        {place[at]: number for at, number in tokens.numbers.items()},
        {place[at]: [] for at in tokens.units},
        {place[at] for at in tokens.counts},
        {place[at] for at in tokens.letters},
        tokens.written,
    )


def _written_out(lore: Lore, right: str) -> Mapping[str, list[str]]:
    """The deck's abbreviations of one meaning, but for the one that is asked about."""
    asked = set(words_of(lore.prompt))
    found = {}
    for term, meanings in lore.short.items():
        folded = spelling(term.casefold())
        itself = folded in asked and one_line(meanings[0]) == one_line(right)
        if len(meanings) == 1 and folded.isalnum() and not itself:
            found[folded] = tokens_of(meanings[0]).words
    return found


def _out(tokens: Tokens, short: Mapping[str, list[str]]) -> Tokens:
    into = Tokens(written=tokens.written)
    for at, word in enumerate(tokens.words):
        if at in tokens.numbers:
            into.numbers[len(into.words)] = tokens.numbers[at]
            shift = len(into.words) - at
            into.units[len(into.words)] = [
                (end + shift, unit, signs) for end, unit, signs in tokens.units[at]
            ]
        if at in tokens.letters:
            into.letters.add(len(into.words))
        into.words += short.get(word, [word])
    return into


_ALL = ("both", "all", "each")
_PARTED = re.compile(r"[;,\n/+]|\band\b", re.IGNORECASE)
"""What parts members: words of the question at the head of one are no others."""


def _leads(typed: Tokens, lore: Lore) -> Iterator[int]:
    """How many words at the head of what was typed only say the question again (`fans off`), or `both`."""
    asked = tokens_of(lore.prompt).words
    for end in range(1, len(typed.words)):
        said = typed.words[:end]
        if said[-1] in NEGATIONS or all(word in SIDES for word in said):
            return
        if (end == 1 and said[0] in _ALL) or any(_runs(asked[at:], said) for at in range(len(asked))):
            yield end
        elif end > 1 or said[0] not in _ALL:
            return


def _runs(asked: Sequence[str], said: Sequence[str]) -> bool:
    return len(asked) >= len(said) and all(
        one == two or same_word(one, two) for one, two in zip(asked, said, strict=False)
    )


def _signs(text: str) -> str:
    return one_line(without_hidden(text).translate(_DASHES))


def why_not(given: str, right: str) -> str:
    """What is wrong with it, in one sentence."""
    ours, due = tokens_of(given), tokens_of(right)
    typed, wanted = ours.words, due.words
    left = [word for word in wanted if word not in typed and not any(same_word(word, one) for one in typed)]
    added = [word for word in typed if word not in wanted and not any(same_word(word, one) for one in wanted)]
    for one in added:
        for two in left:
            if frozenset((one, two)) in OPPOSITES:
                return (
                    f"`{one}` isn't `{two}`"
                    if "full" in (one, two)
                    else f"`{one}` is the opposite of `{two}`"
                )
    if (set(left) | set(added)) & NEGATIONS:
        return "a negation makes the difference"
    if left and not added:
        return "left out: " + ", ".join(map(due.said, left))
    if added and not left:
        return "added: " + ", ".join(map(ours.said, added))
    return "the words differ" if left else "the order differs"


def word_by_word(given: str, right: str) -> tuple[Part, ...]:
    """The words typed, in order, with what was left out and what was added; forgiven hyphens and case aren't told."""
    typed, wanted = given.replace("-", " ").split(), right.replace("-", " ").split()
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
