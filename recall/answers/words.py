"""Typed words against the right ones: what is forgiven, and what never is."""

import difflib
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from recall.answers.match import matches
from recall.answers.model import NO_LORE, Lore, Part
from recall.answers.slips import forgiven_slip
from recall.answers.tokens import COUNTED, Tokens, is_passed, tokens_of
from recall.answers.vocabulary import (
    ARTICLES,
    FIXED,
    GENERAL,
    NEGATIONS,
    OPPOSED,
    OPPOSITES,
    SETTING,
    SIDES,
    SMALL,
    long_forms,
    spelling,
)
from recall.base import regex as re
from recall.base.text import one_line, without_hidden, words_of
from recall.quantity import Number, Span, Unit, find_unit

_DASHES = str.maketrans("‐‑‒–—−·•∙", "------...")
_MOST_JOINED = 3
_LEAST_NAMED = 2
_MOST_SET = 3
"""Words of a position that may be said to be set."""
_COMPARED = frozenset("<>≤≥")
_BEHIND = frozenset("%°")


@dataclass(slots=True)
class Reading:
    """One comparison. exact: only case, blanks, punctuation, and units and signs in another notation are forgiven."""

    typed: Tokens
    wanted: Tokens
    lore: Lore = NO_LORE
    exact: bool = False
    small: Collection[str] = SMALL

    def __post_init__(self) -> None:
        """Words that may be left out stand beside others."""
        if self.exact or all(is_passed(self.wanted, at, self.small) for at in range(len(self.wanted.words))):
            self.small = ()

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

    def whole(self, begin: int = 0, end: int | None = None) -> tuple[str, ...] | None:
        """The slips, where all that was typed is the right answer; None where it isn't. begin, end: but for what
        stands before and behind."""
        due = len(self.typed.words) if end is None else end
        return next((slips for at, slips in self.ends(begin) if at == due), None)

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
        units = list(self.typed.units(i))
        for ended, due, signs in self.wanted.units(j):
            for end, unit, _ in units:
                if matches(_span(one, unit), _span(two, due)).right:
                    yield end, ended
            if one == two and (signs > 1 or compared):
                yield i + 1, ended
        if one == two:
            yield i + 1, j + 1
            for end, unit, _ in units:
                if unit.name in "%°" and not self._another_sign(unit.name):
                    yield end, j + 1


def _span(number: object, unit: Unit) -> Span:
    return Span(value=Number(number, str(number)), unit=unit)  # type: ignore[arg-type]


@lru_cache(maxsize=8192)
def same_word(one: str, two: str) -> bool:
    """Whether two words say the same: one is the other's short form, its plural or past, or the same unit."""
    if one == two:
        return True
    if min(len(one), len(two)) > 1 and (unit := find_unit(one)) is not None and unit == find_unit(two):
        return True
    long = long_forms()
    if two in long.get(one, ()) or one in long.get(two, ()):
        return True
    if len(one) > len(two):
        one, two = two, one
    if len(one) > 3 and two in (one + "ed", one + "d", one + one[-1] + "ed"):
        return True  # `release` for released: the same state
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
    if exact:
        return Reading(typed, wanted, lore, exact=True).whole()
    if lore.names and _is_enough(typed.words, wanted.words, lore):
        return ()
    for text, due in _forms(given, right, lore):
        reading = Reading(tokens_of(text), tokens_of(due), lore)
        for begin, end in _cuts(reading, lore, whole=_PARTED.search(given) is not None):
            slips = reading.whole(begin, end)
            if slips is not None:
                return slips
    return () if _moved(given, right) else None


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


def _forms(given: str, right: str, lore: Lore) -> Iterator[tuple[str, str]]:
    """What was typed and what is right, as they stand; with `and` for a comma; with the other of two alternatives
    first; with numbers of things at the end; with abbreviations of the deck written out."""
    yield given, right
    typed, wanted = tokens_of(given), tokens_of(right)
    if "and" in wanted.words and _SERIES.search(given):
        yield _SERIES.sub(" and ", given), right
    if wanted.words.count("or") == 1 and not NEGATIONS & {*wanted.words}:
        yield given, " or ".join(re.split(r"\s+or\s+", right, flags=re.IGNORECASE)[::-1])
    counted = {
        text[found.end() :].split(None, 1)[0] for text in (given, right) for found in COUNTED.finditer(text)
    }
    if counted:
        yield _counts_last(given, counted), _counts_last(right, counted)
    short = _written_out(lore, right)
    if any(word in short for word in (*typed.words, *wanted.words)):
        yield _out(given, short), _out(right, short)


def _counts_last(text: str, counted: Collection[str]) -> str:
    """The same words, with numbers that name a thing (`No 1 fan`) behind all others."""
    words = COUNTED.sub("", text).split()
    named = sorted(word for word in words if word.strip(",.") in counted)
    return " ".join([word for word in words if word.strip(",.") not in counted] + named)


def _written_out(lore: Lore, right: str) -> Mapping[str, str]:
    """The deck's abbreviations of one meaning, but for the one that is asked about."""
    asked = set(words_of(lore.prompt))
    found = {}
    for term, meanings in lore.short.items():
        folded = spelling(term.casefold())
        itself = folded in asked and one_line(meanings[0]) == one_line(right)
        if len(meanings) == 1 and folded.isalnum() and not itself:
            found[folded] = meanings[0]
    return found


def _out(text: str, short: Mapping[str, str]) -> str:
    return re.sub(r"(?:[^\W\d_]\.){2,}|[^\W_]+", lambda word: _meaning(word.group(), short), text)


def _meaning(word: str, short: Mapping[str, str]) -> str:
    bare = spelling(word.replace(".", "").casefold())
    number = re.fullmatch(r"([^\W\d]+)(\d+)", bare)  # `TRU1`
    if bare not in short and number and number[1] in short:
        return f"{short[number[1]]} {number[2]}"
    return short.get(bare, word)


def _moved(given: str, right: str) -> bool:
    """Whether they are the same words with one run of them moved (`ATC clearance` for a clearance from ATC), in a
    phrase whose order tells nothing: no sides, numbers, negations, nor a verb between two things."""
    one, two = ([word for word in tokens_of(text).words if word not in _JOINTS] for text in (given, right))
    fixed = [word for word in two if word in FIXED or not word.isalpha()]
    if not 1 < len(two) == len(one) or len(fixed) > 1 or any(not word.endswith("ed") for word in fixed):
        return False
    if len(two) < _LEAST_MOVED and "," not in given and not _JOINTS & {*tokens_of(right).words}:
        return False
    if any(word.endswith("s") and not word.endswith("ss") for word in two[1:-1]):
        return False
    while one and same_word(one[0], two[0]):
        one, two = one[1:], two[1:]
    while one and same_word(one[-1], two[-1]):
        one, two = one[:-1], two[:-1]
    return any(all(map(same_word, one[at:] + one[:at], two)) for at in range(1, len(one)))


_JOINTS = SMALL | {"from"}
_LEAST_MOVED = 3
_ALL = ("both", "all", "each")
_PARTED = re.compile(r"[;,\n/+]|\band\b", re.IGNORECASE)
"""What parts members: words of the question at the head of one are no others."""


def _cuts(reading: Reading, lore: Lore, *, whole: bool) -> Iterator[tuple[int, int]]:
    """Where the answer in what was typed begins and ends: words before it and behind it may only say the question
    again (`fans off`), that it is set so (`set to off`), or `both`. whole: it is parted, so all of it is answer."""
    typed, asked = reading.typed.words, tokens_of(lore.prompt).words
    yield 0, len(typed)
    if whole:
        return
    for end in range(len(typed) - 1, 0, -1):
        if FIXED & {*typed[end:]} or not _within(typed[end:], asked):
            break
        yield 0, end
    setting = not lore.names and len(reading.wanted.words) <= _MOST_SET
    for begin in range(1, len(typed)):
        said = typed[:begin]
        set_so = setting and all(word in SETTING for word in said)
        if said[-1] in NEGATIONS or (all(word in SIDES for word in said) and not set_so):
            return
        if not (set_so or said[0] in _ALL or _within(said, asked)):
            return
        yield begin, len(typed)


def _within(said: Sequence[str], asked: Sequence[str]) -> bool:
    """Whether words stand in the question as they do here."""
    return any(_runs(asked[at:], said) for at in range(len(asked)))


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
