"""Typed words against the right ones: what is forgiven, and what never is."""

from collections.abc import Collection, Iterator, Sequence

from recall.answers.alike import cut_short, forgiven_slip, may_join, same_joined, same_meaning, same_word
from recall.answers.forms import forms, moved
from recall.answers.match import matches
from recall.answers.model import NO_LORE, Lore
from recall.answers.tokens import Tokens, is_passed, tokens_of, words_said
from recall.answers.vocabulary import (
    ARTICLES,
    FIXED,
    GENERAL,
    LOOSE,
    NEGATIONS,
    SETTING,
    SIDES,
    SMALL,
    SWITCHED,
    spelling,
)
from recall.base import regex as re
from recall.base.dataclass import dataclass, replace
from recall.base.text import one_line, without_hidden
from recall.quantity import Number, Span, Unit

_DASHES = str.maketrans("‐‑‒–—−·•∙", "------...")
_MOST_JOINED = 3
_PLAIN = 2
"""So many words of the question in a row are surely its own, whatever they say."""
_MOST_SET = 4
"""Words of a position that may be said to be set."""
_TELLING = 4
"""Letters of a word of the question that may be said again within the answer."""
_COMPARED = frozenset("<>≤≥")
_RECITED = frozenset((*ARTICLES, "to", "is", "are"))
"""What may be added to words that are recited."""
_SIGNS = {"<": ("below", "under"), ">": ("above",)}
_BEHIND = frozenset("%°")
_ASKED = re.compile(r"\b[Ww]hich (?:\d+ )?(\w+)")
"""What a question asks for: that it is a bus, or a tank, needn't be said."""


@dataclass(slots=True)
class Reading:
    """One comparison. exact: only case, blanks, punctuation, articles, and units and signs in another notation are
    forgiven."""

    typed: Tokens
    wanted: Tokens
    lore: Lore = NO_LORE
    exact: bool = False
    small: Collection[str] = SMALL
    more: Collection[str] = ()
    measured: Collection[str] = ()

    def __post_init__(self) -> None:
        """Words that may be left out stand beside others."""
        if thing := _ASKED.search(self.lore.prompt):
            self.small = {*self.small, *(thing[1].removesuffix(ending) for ending in ("", "s", "es"))}
        if FIXED.intersection(self.wanted.words) <= {"and"} >= FIXED.intersection(self.typed.words):
            self.small = {*self.small, "and"}
        if self.exact:
            self.small = _RECITED
        if all(is_passed(self.wanted, at, self.small) for at in range(len(self.wanted.words))):
            self.small = ()
        if not {"on", "off"}.isdisjoint({*self.typed.words} & {*self.wanted.words}):
            self.small = {*self.small, *SWITCHED}
        if not self.exact:
            measured = {unit.dimension for at in self.wanted.numbers for _, unit, _ in self.wanted.units(at)}
            asked = {
                word for word in tokens_of(self.lore.prompt).words if word.isalpha() and len(word) >= _TELLING
            }
            self.measured = measured
            self.more = {*measured, *(() if self.lore.names else asked - FIXED)}

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
            if typed[i] == wanted[j] or self._says(i, j):
                yield i + 1, j + 1, ()
            if i in self.typed.numbers and j in self.wanted.numbers:
                for end, ended in self._amounts(i, j):
                    yield end, ended, ()
            yield from self._joined(i, j)
            if not self.exact and self._slipped(typed[i], wanted[j]):
                yield i + 1, j + 1, (self.wanted.said(wanted[j]),)
        if more and (self._is_small(i) or (due and any(same_word(typed[i], one) for one in self.more))):
            yield i + 1, j, ()
        if due and (is_passed(self.wanted, j, self.small) or self._said_by_unit(j)):
            yield i, j + 1, ()

    def alike(self, typed: str, wanted: str) -> bool:
        """Whether two words say the same, or one is a slip of the other."""
        return self._same(typed, wanted) or self._slipped(typed, wanted)

    def _says(self, i: int, j: int) -> bool:
        """Whether two words say the same; what is recited, where one is the plural of the other, and nothing of the
        deck is called as it was typed."""
        typed, wanted = self.typed.words[i], self.wanted.words[j]
        if not self.exact:
            return self._same(typed, wanted)
        short, long = sorted((typed, wanted), key=len)
        plural = len(short) >= _TELLING and short.isalpha() and long in (f"{short}s", f"{short}es")
        return plural and not self._stands(self.typed.words[max(i - 1, 0) : i + 1])

    def _same(self, typed: str, wanted: str) -> bool:
        return (
            same_word(typed, wanted)
            or (not self.lore.literal and same_meaning(typed, wanted))
            or cut_short(typed, wanted, self.lore.knows)
        )

    def _is_small(self, i: int) -> bool:
        if is_passed(self.typed, i, self.small):
            return not self._another_sign(self.typed.words[i])
        return i > 0 and self.typed.words[i] in LOOSE and self._is_loose(*self.typed.words[i - 1 : i + 1])

    def _is_loose(self, before: str, word: str) -> bool:
        """Whether a general word may stand behind another, as nothing of the deck is called so (`UV light`)."""
        if self.exact or self.lore.literal or word in self.wanted.words or before in FIXED:
            return False
        return not self._stands([before, word])

    def _stands(self, name: list[str]) -> bool:
        """Whether words stand in the deck behind one another."""
        said = (words_said(text) for text in self.lore.says(" ".join(name)))
        return any(name in (words[at : at + len(name)] for at in range(len(words))) for words in said)

    def _said_by_unit(self, j: int) -> bool:
        """Whether the unit behind a comparison says what is compared: a speed above 5 kt."""
        return self.wanted.words[j] in self.measured and [*self.wanted.words, ""][j + 1] in _COMPARED

    def _slipped(self, typed: str, wanted: str) -> bool:
        """Whether a word has a slip, in the one spelling or as it was written (`propellor`)."""
        said = self.typed.said(typed), self.wanted.said(wanted)
        pairs = {(typed, wanted), said, *((typed, word) for word in _SIGNS.get(wanted, ()))}
        return any(forgiven_slip(*pair, self.lore.knows) for pair in pairs)

    def _another_sign(self, word: str) -> bool:
        """Whether a sign behind a number is none that the right one bears; a bare one may be degrees (`flap 15`)."""
        due = {one for one in self.wanted.words if one in _BEHIND}
        return word in _BEHIND and word not in due and bool(due or word == "%")

    def _joined(self, i: int, j: int) -> Iterator[tuple[int, int, tuple[str, ...]]]:
        """Up to three words that are one word written apart, on either side; they begin alike."""
        if self.typed.words[i][0] != self.wanted.words[j][0]:
            return
        for joined in range(2, _MOST_JOINED + 1):
            for one, two in ((joined, 1), (1, joined)):
                typed, wanted = self.typed.words[i : i + one], self.wanted.words[j : j + two]
                if len(typed) < one or len(wanted) < two or not may_join(typed, wanted):
                    continue
                left, right = spelling("".join(typed)), spelling("".join(wanted))
                if left == right or (not self.exact and same_joined(typed, wanted)):
                    yield i + one, j + two, ()
                elif not self.exact and self._slipped(left, right):
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


_NONE = re.any_case(r"\s*no\s")
"""What denies a count: before one, it names none (`no two cells`)."""


def compare(given: str, right: str, lore: Lore = NO_LORE, *, exact: bool = False) -> tuple[str, ...] | None:
    """The slips that were forgiven, where what was typed is right; None where it isn't. Without a letter or digit
    every sign counts (`-.-.`)."""
    wanted = tokens_of(right)
    if not wanted.words:
        return () if _signs(given) == _signs(right) else None
    typed = tokens_of(given)
    if not typed.words or (0 in wanted.numbers and _NONE.match(given)):
        return None
    if exact:
        return Reading(typed, wanted, lore, exact=True).whole()
    if lore.names and (slips := _enough(given, right, lore)) is not None:
        return slips
    turned = NEGATIONS.isdisjoint(typed.words) != NEGATIONS.isdisjoint(wanted.words)
    asked = replace(lore, prompt="", topic="") if turned else lore  # `no X` isn't the X that is lost
    for text, due in forms(given, right, lore):
        reading = Reading(tokens_of(text), tokens_of(due), asked)
        for begin, end in _cuts(reading, asked, whole=_PARTED.search(given) is not None):
            slips = reading.whole(begin, end)
            if slips is not None:
                return slips
        if moved(reading.typed, reading.wanted, reading.small, reading.alike):
            return ()
    return None


_TAILS = (
    re.any_case(rf"(\S+)\s+(?:{'|'.join(sorted(GENERAL))})$"),
    re.compile(r"()\s+\d[\d.,]*\s?(?:A|Ah|V|VA|kVA|W|kW)$"),
    re.compile(r"()\s+\([^)]*\)$"),
)
"""What a name may do without, where nothing else is called by the rest of it: its last word (`compass` for its
system, `left feeder` for its tank), its rating, what stands in brackets behind it."""


def _enough(given: str, right: str, lore: Lore) -> tuple[str, ...] | None:
    """The slips, where a name without its tail, or its first word (`transfer pump`), was typed, which can mean
    nothing else of the deck."""
    for tail in _TAILS:
        name = tail.sub(r"\1", right)
        slips = compare(given, name, replace(lore, names=False)) if name != right else None
        if slips is not None and not _others(words_said(name), words_said(right), lore):
            return slips
    head, _, name = right.partition(" ")
    if " " in name and not re.search(r"\d", name) and head.isalpha() and head.casefold() not in FIXED:
        slips = compare(given, name, replace(lore, names=False, prompt="", topic=""))
        if slips is not None and not _others(words_said(right)[1:], words_said(right), lore):
            return slips
    return None


def _others(name: Sequence[str], whole: Sequence[str], lore: Lore) -> bool:
    """Whether a part of a name stands in the deck beside another word than in the whole one: before it in a name,
    behind it anywhere."""
    first, behind = whole[0], [*whole, ""][whole.index(name[0]) + len(name)]
    for text in lore.says(" ".join(name)):
        words = ["", *words_said(text), ""]
        for at in range(1, len(words) - len(name)):
            if words[at : at + len(name)] != name:
                continue
            if name[0] == first:
                if words[at + len(name)] != behind:
                    return True
            elif words[at - 1] not in ("", first) and len(words) - 2 <= len(whole):
                return True
    return False


_ALL = ("both", "all", "each")
_PARTED = re.any_case(r"[;,\n/+]|\band\b")
"""What parts members: words of the question at the head of one are no others."""


def _cuts(reading: Reading, lore: Lore, *, whole: bool) -> Iterator[tuple[int, int]]:
    """Where the answer in what was typed begins and ends: words before it and behind it may only say the question
    again (`fans off`), that it is set so (`set to off`), or `both`. whole: it is parted, so all of it is answer."""
    typed, asked = reading.typed.words, _telling(tokens_of(f"{lore.prompt} / {lore.topic}").words)
    yield 0, len(typed)
    if whole:
        return
    for end in range(len(typed) - 1, 0, -1):
        if not (within(_telling(typed[end:]), asked) or typed[end:] == ["position"]) or (
            len(typed) - end < _PLAIN and len(typed[end]) == 1
        ):
            break
        if len(typed) - end >= _PLAIN or FIXED.isdisjoint(typed[end:]):
            yield 0, end
    setting = not lore.names and len(reading.wanted.words) <= _MOST_SET
    for begin in range(1, len(typed)):
        said = typed[:begin]
        set_so = setting and all(word in SETTING for word in said)
        if said[-1] in NEGATIONS or (all(word in SIDES for word in said) and not set_so):
            return
        initials = begin == 1 < len(said[0]) and said[0] in "".join(word[0] for word in asked)
        if not (set_so or initials or said[0] in _ALL or within(_telling(said), asked)):
            return
        yield begin, len(typed)


def _telling(words: Sequence[str]) -> list[str]:
    return [word for word in words if word not in SMALL]


def within(said: Sequence[str], asked: Sequence[str]) -> bool:
    """Whether words stand in the question as they do here."""
    return any(_runs(asked[at:], said) for at in range(len(asked)))


def _runs(asked: Sequence[str], said: Sequence[str]) -> bool:
    return len(asked) >= len(said) and all(
        one == two or same_word(one, two) or same_meaning(one, two)
        for one, two in zip(asked, said, strict=False)
    )


def _signs(text: str) -> str:
    return one_line(without_hidden(text).translate(_DASHES))
