"""Typed words against the right ones: what is forgiven, and what never is."""

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from recall.answers.model import Part
from recall.base.text import one_line, without_hidden, words_of

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
_OPPOSED = frozenset(word for pair in OPPOSITES for word in pair)
NEGATIONS = frozenset(
    ("not", "no", "non", "never", "without", "none", "nor", "neither", "cannot", "unless", "until")
)
_SAME_SPELLING = {"manoeuvre": "maneuver", "manoeuvring": "maneuvering", "grey": "gray", "disc": "disk"}


@dataclass(frozen=True, slots=True)
class WordsVerdict:
    """right: whether all is there and nothing else. parts: the answer word by word, where it is wrong; slips: words
    that were forgiven, as they are spelt."""

    right: bool
    why: str = ""
    parts: tuple[Part, ...] = ()
    slips: tuple[str, ...] = ()


_SIGNS = (
    (re.compile(r"[-=]+>|<-+(?![-\d.])|[→←⇒⇐]"), " "),
    (re.compile(r"±|\+/?-"), " plus minus "),
    (re.compile(r">=|≥|⩾"), " at least "),
    (re.compile(r"<=|=<|≤|⩽"), " at most "),
    (re.compile(r">|\b(?:above|over|exceeding|greater than|higher than)(?=\s+[+-]?\d)", re.I), " more than "),
    (re.compile(r"<|\b(?:below|under|lower than|smaller than)(?=\s+[+-]?\d)", re.I), " less than "),
    (re.compile(r"≠|!="), " not equal "),
    (re.compile(r"(?<=\d)\s*(?:per ?cent|deg(?:rees?)?)\b", re.I), " "),
)
"""Signs that turn a meaning round are words, and words before a number are those; arrows are none. The unit signs `%`
and `°` count no more than blanks."""
_GROUPED = re.compile(r"[+-]?\d{1,3}(?:,\d{3})+(?:\.\d+)?")
_LETTER = re.compile(r"(?<![^\W_])(?<!')a(?!['’]?[^\W_])", re.IGNORECASE)
_NOT = {"won't": "will", "can't": "can", "shan't": "shall"}


def said_words(text: str) -> list[str]:
    """All words of a text, comparisons among them (`>` as `more than`), `n't` as `not`, numbers ungrouped."""
    for sign, words in _SIGNS:
        text = sign.sub(words, text)
    found: list[str] = []
    for word in words_of(text):
        if word.endswith("n't"):
            found += (_NOT.get(word, word[:-3]), "not")
        else:
            found.append(word.replace(",", "") if _GROUPED.fullmatch(word) else word)
    return [_SAME_SPELLING.get(word, word) for word in found]


def answer_words(text: str, *, every_a: bool = False) -> list[str]:
    """Words of an answer, articles aside where there are others. An `a` is a letter (`bus A`, `A.C.`) unless another
    word follows behind a blank, and a capital within the text always is. every_a: no `a` is taken for an article."""
    text = text.strip()
    words = said_words(text)
    letters = [
        (found.group() == "A" and bool(text[: found.start()].strip()))
        or not text[found.end() : found.end() + 1].isspace()
        for found in _LETTER.finditer(text)
    ]
    if every_a or len(letters) != words.count("a"):
        letters = [every_a] * words.count("a")
    is_letter = iter(letters)
    kept = [word for word in words if not (word in _ARTICLES and not (word == "a" and next(is_letter)))]
    return kept or words


def nothing_known(_: str) -> bool:
    """For a comparison outside any deck."""
    return False


def mark_words(given: str, right: str, known: Known = nothing_known) -> WordsVerdict:
    """Compare typed words: case, hyphens, blanks, articles and one slip of the keyboard in a word of five letters or
    more are forgiven; a slip never where the typed word stands in the deck, nor for a negation or an opposite."""
    slips = Wanted(right).slips(Typed(given), known)
    if slips is not None:
        return WordsVerdict(True, slips=slips)
    why = _why(answer_words(given), answer_words(right)) if given.strip() else "nothing was typed"
    return WordsVerdict(False, why, word_by_word(given, right))


class Typed:
    """Typed text made ready to be compared. forms: its words in each way that they may be meant, `a` as an article
    and as a letter; signs: how it is written."""

    def __init__(self, text: str) -> None:
        self.signs = _signs(text)
        self.forms = [answer_words(text.lower() if text.isupper() else text)]
        if "a" in said_words(text):
            self.forms.append(answer_words(text, every_a=True))


class Wanted:
    """A right answer in words, made ready to be compared with many typed ones."""

    def __init__(self, text: str) -> None:
        self.signs = _signs(text)
        self.words = answer_words(text)
        self.length = sum(map(len, self.words))

    def slips(self, typed: Typed, known: Known) -> tuple[str, ...] | None:
        """The right spelling of each slip that was forgiven; None where other words were typed. Without a letter or
        digit every sign counts (`-.-.`)."""
        if not self.words:
            return () if typed.signs == self.signs else None
        for form in typed.forms:
            slips: list[str] = []
            near = abs(sum(map(len, form)) - self.length) <= len(self.words)
            if form and near and _same(form, self.words, known, slips):
                return tuple(slips)
        return None


_DASHES = str.maketrans("‐‑‒–—−·•∙", "------...")


def _signs(text: str) -> str:
    return one_line(without_hidden(text).translate(_DASHES))


_MOST_JOINED = 3


def _same(typed: Sequence[str], wanted: Sequence[str], known: Known, slips: list[str]) -> bool:
    """Word for word, where up to three words may be written as one or one as up to three. slips: filled with the
    right spelling of each slip that was forgiven."""
    i = j = 0
    while i < len(typed) and j < len(wanted):
        if typed[i] == wanted[j]:
            i, j = i + 1, j + 1
            continue
        if forgiven_slip(typed[i], wanted[j], known):
            slips.append(wanted[j])
            i, j = i + 1, j + 1
            continue
        step = _joined(typed[i : i + _MOST_JOINED], wanted[j : j + _MOST_JOINED], known, slips)
        if step is None:
            return False
        i, j = i + step[0], j + step[1]
    return i == len(typed) and j == len(wanted)


def _joined(
    typed: Sequence[str], wanted: Sequence[str], known: Known, slips: list[str]
) -> tuple[int, int] | None:
    """How many words on either side are one word written apart; None where none are."""
    for joined in range(2, _MOST_JOINED + 1):
        for one, two in ((joined, 1), (1, joined)):
            if len(typed) < one or len(wanted) < two or not _may_join(typed[:one], wanted[:two]):
                continue
            left, right = "".join(typed[:one]), "".join(wanted[:two])
            if left == right or forgiven_slip(left, right, known):
                if left != right:
                    slips.append(" ".join(wanted[:two]))
                return one, two
    return None


def _may_join(typed: Sequence[str], wanted: Sequence[str]) -> bool:
    """Digits don't run into what stands before them (`1 1` isn't `11`), and a negation stays a word (`not able` isn't
    `notable`), but for the prefix `non`."""
    if any(word[0].isdigit() for word in (*typed[1:], *wanted[1:])):
        return False
    counts = [sum(word in NEGATIONS and word != "non" for word in side) for side in (typed, wanted)]
    return counts[0] == counts[1]


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
    for one in set(typed) & _OPPOSED:
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
