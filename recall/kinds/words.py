"""Typed words against the right ones: what is forgiven, and what never is."""

import difflib
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from recall.base.text import words_of

Known = Callable[[str], bool]
"""Whether a word, case folded, stands in the deck."""

_ARTICLES = frozenset(("the", "a", "an"))
_OPPOSITES = (
    "on off|open closed|open close|full fuel|full empty|high low|up down|left right|inside outside|inner outer|"
    "inboard outboard|before after|above below|over under|minimum maximum|min max|increase decrease|"
    "increases decreases|ac dc|a.c d.c|in out|upper lower|forward aft|front rear|hot cold|start stop|"
    "extend retract|extended retracted|engage disengage|engaged disengaged|arm disarm|armed disarmed|"
    "lock unlock|locked unlocked|connect disconnect|connected disconnected|normal abnormal|manual automatic|"
    "inhibited enabled|isolated connected|port starboard|indicated true|inlet outlet|ascent descent|"
    "ascend descend|climb descend|advance retard|push pull|energised de-energised|symmetric asymmetric|"
    "charge discharge|load unload|failed healthy|loss gain|less more|wet dry|day night|inbound outbound"
)
OPPOSITES = frozenset(frozenset(pair.split()) for pair in _OPPOSITES.split("|"))
NEGATIONS = frozenset(
    ("not", "no", "non", "never", "without", "none", "nor", "neither", "cannot", "unless", "until")
)
_SAME_SPELLING = {"manoeuvre": "maneuver", "manoeuvring": "maneuvering", "grey": "gray", "disc": "disk"}

Part = tuple[Literal["kept", "left out", "added"], str]


@dataclass(frozen=True, slots=True)
class WordsVerdict:
    """right: whether all is there and nothing else. parts: the answer word by word, where it is wrong; slips: words
    that were forgiven, as they are spelt."""

    right: bool
    why: str = ""
    parts: tuple[Part, ...] = ()
    slips: tuple[str, ...] = ()


def answer_words(text: str) -> list[str]:
    """Words of an answer, articles aside where there are others."""
    words = [_SAME_SPELLING.get(word, word) for word in words_of(text)]
    return [word for word in words if word not in _ARTICLES] or words


def nothing_known(_: str) -> bool:
    """For a comparison outside any deck."""
    return False


def mark_words(given: str, right: str, known: Known = nothing_known) -> WordsVerdict:
    """Compare typed words: case, hyphens, blanks, articles and one slip of the keyboard in a word of five letters or
    more are forgiven; a slip never where the typed word stands in the deck, nor for a negation or an opposite."""
    typed, wanted = answer_words(given), answer_words(right)
    slips: list[str] = []
    if typed and _same(tuple(typed), tuple(wanted), known, slips):
        return WordsVerdict(True, slips=tuple(slips))
    return WordsVerdict(False, _why(typed, wanted), word_by_word(given, right))


_MOST_JOINED = 3


def _same(typed: tuple[str, ...], wanted: tuple[str, ...], known: Known, slips: list[str]) -> bool:
    """Word for word, where up to three words may be written as one or one as up to three. slips: filled with the
    right spelling of each slip that was forgiven."""
    if not typed or not wanted:
        return not typed and not wanted
    if typed[0] == wanted[0]:
        return _same(typed[1:], wanted[1:], known, slips)
    if forgiven_slip(typed[0], wanted[0], known):
        slips.append(wanted[0])
        return _same(typed[1:], wanted[1:], known, slips)
    for joined in range(2, _MOST_JOINED + 1):
        for one, two in ((joined, 1), (1, joined)):
            if len(typed) < one or len(wanted) < two or not _may_join(typed[:one], wanted[:two]):
                continue
            left, right = "".join(typed[:one]), "".join(wanted[:two])
            if left == right or forgiven_slip(left, right, known):
                if left != right:
                    slips.append(" ".join(wanted[:two]))
                return _same(typed[one:], wanted[two:], known, slips)
    return False


def _may_join(typed: tuple[str, ...], wanted: tuple[str, ...]) -> bool:
    """Digits don't run together (`1 1` isn't `11`), and a negation stays a word (`not able` isn't `notable`)."""
    words = (*typed, *wanted)
    return not any(word[-1].isdigit() or word in NEGATIONS for word in words)


def forgiven_slip(typed: str, wanted: str, known: Known) -> bool:
    """Whether a typed word is a wanted one with one slip: a letter left out, added, wrong, or two swapped."""
    if len(wanted) < 5 or not (typed.isalpha() and wanted.isalpha()) or abs(len(typed) - len(wanted)) > 1:
        return False
    if frozenset((typed, wanted)) in OPPOSITES or typed in NEGATIONS or wanted in NEGATIONS:
        return False
    if not _one_slip(typed, wanted) or _changes_prefix(typed, wanted):
        return False
    return not known(typed)


def _one_slip(one: str, two: str) -> bool:
    start = 0
    shortest = min(len(one), len(two))
    while start < shortest and one[start] == two[start]:
        start += 1
    a, b = one[start:], two[start:]
    if len(a) == len(b):
        return a[1:] == b[1:] or (len(a) > 1 and a[0] == b[1] and a[1] == b[0] and a[2:] == b[2:])
    return a[1:] == b if len(a) > len(b) else a == b[1:]


def _changes_prefix(one: str, two: str) -> bool:
    """A first letter that turns the meaning round: asymmetric, inboard for onboard, affect for effect."""
    if one[0] == two[0]:
        return False
    if one[1:] == two[1:]:
        return one[0] in "aeiou" and two[0] in "aeiou"
    return one == "a" + two or two == "a" + one


def _why(typed: list[str], wanted: list[str]) -> str:
    if not typed:
        return "nothing was typed"
    for one in typed:
        for two in wanted:
            if frozenset((one, two)) in OPPOSITES and one not in wanted and two not in typed:
                return (
                    f"`{one}` is the opposite of `{two}`"
                    if one != "full" and two != "full"
                    else f"`{one}` isn't `{two}`"
                )
    if (set(typed) ^ set(wanted)) & NEGATIONS:
        return "a negation makes the difference"
    left = [word for word in wanted if word not in typed]
    added = [word for word in typed if word not in wanted]
    if left and not added:
        return "left out: " + ", ".join(left)
    if added and not left:
        return "added: " + ", ".join(added)
    if not left and not added:
        return "the order differs"
    return "the words differ"


def word_by_word(given: str, right: str) -> tuple[Part, ...]:
    """The right words in order, with what was left out and what was added; as shown, in their own case."""
    typed, wanted = given.split(), right.split()
    fold = (
        [" ".join(words_of(word)) or word for word in typed],
        [" ".join(words_of(word)) or word for word in wanted],
    )
    parts: list[Part] = []
    matcher = difflib.SequenceMatcher(None, fold[0], fold[1], autojunk=False)
    for what, i, j, k, m in matcher.get_opcodes():
        if what == "equal":
            parts += [("kept", word) for word in wanted[k:m]]
        else:
            parts += [("added", word) for word in typed[i:j]]
            parts += [("left out", word) for word in wanted[k:m]]
    return tuple(parts)
