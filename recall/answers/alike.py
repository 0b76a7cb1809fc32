"""Words that are alike: in another form, written apart, or with a slip of the keyboard (one letter wrong, left out or
added, or two neighbours swapped, in a longer word)."""

from collections.abc import Callable, Sequence
from functools import lru_cache

from recall.answers.synonyms import meanings
from recall.answers.vocabulary import NEGATIONS, OPPOSED, PREFIXES, THINGS, is_word, long_forms, spelling
from recall.base.text import one_slip
from recall.quantity import find_unit

SHORTEST = 5
_LONG = 7
"""Letters of half an opposite in which any slip is plain; a shorter one has slips of the keyboard alone."""


def forgiven_slip(typed: str, wanted: str, known: Callable[[str], bool]) -> bool:
    """Whether a typed word is the wanted one with one slip, and no other. known: whether one stands in the deck."""
    if (
        len(wanted) < SHORTEST
        or abs(len(typed) - len(wanted)) > 1
        or not (typed.isalpha() and wanted.isalpha() and one_slip(typed, wanted))
    ):
        return False
    if typed in OPPOSED or typed in NEGATIONS or wanted in NEGATIONS or is_word(typed):
        return False
    if _changes_prefix(typed, wanted) or known(typed):
        return False
    return wanted not in OPPOSED or len(wanted) >= _LONG or _of_keyboard(typed, wanted)


def _of_keyboard(typed: str, wanted: str) -> bool:
    """No letter that the other hasn't, but for one beside it on the keyboard: half an opposite is no other word."""
    if len(typed) != len(wanted) or sorted(typed) == sorted(wanted):
        return set(typed) <= set(wanted)
    one, two = next(pair for pair in zip(typed, wanted, strict=True) if pair[0] != pair[1])
    (row, at), (other, place) = (
        next((row, keys.index(letter)) for row, keys in enumerate(_KEYS) if letter in keys)
        for letter in (one, two)
    )
    return abs(row - other) + abs(at - place) < 2 or (at - place, row - other) in ((-1, 1), (1, -1))


_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")


def _changes_prefix(one: str, two: str) -> bool:
    """A first letter that turns the meaning round: asymmetric, inboard for onboard, affect for effect."""
    if one[0] == two[0]:
        return False
    if one[1:] == two[1:]:
        return one[0] in "aeiou" and two[0] in "aeiou"
    return one == "a" + two or two == "a" + one


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
    one, two = sorted((one, two), key=len)
    return two not in THINGS and two in _endings(one)


@lru_cache(maxsize=8192)
def same_meaning(one: str, two: str) -> bool:
    """Whether two words, in any of their forms, have one meaning of the table of synonyms."""
    return not _meant(one).isdisjoint(_meant(two))


@lru_cache(maxsize=8192)
def _meant(word: str) -> frozenset[int]:
    table = meanings()
    return table.get(word, frozenset()) | frozenset().union(
        *(lines for root, lines in table.items() if word[0] == root[0] and word in _endings(root))
    )


def cut_short(typed: str, wanted: str, known: Callable[[str], bool]) -> bool:
    """Whether a typed word is the beginning of the wanted one, as it is cut short before a vowel (`distrib`, `var`),
    or its consonants (`pwr`); never half an opposite, a prefix, or a word of the deck."""
    if typed[0] != wanted[0] or not (
        3 <= len(typed) <= len(wanted) - 2 and typed.isalpha() and wanted.isalpha()
    ):
        return False
    if typed in PREFIXES or not {typed, wanted}.isdisjoint(_TURNING):
        return False
    if typed in long_forms() or find_unit(typed) is not None or is_word(typed) or known(typed):
        return False
    begins = (
        wanted.startswith(typed)
        and not wanted.endswith(_FORMS)
        and typed[-1] not in _VOWELS
        and wanted[len(typed)] in f"{_VOWELS}r"
    )
    return (begins and len(wanted) - len(typed) > 2) or typed == _consonants(wanted)


_TURNING = OPPOSED | NEGATIONS
_VOWELS = "aeiouy"
_FORMS = ("ing", "ed", "er", "or", "ers", "ors")


def _consonants(word: str) -> str:
    kept = word[0] + "".join(letter for letter in word[1:] if letter not in _VOWELS)
    return "".join(letter for at, letter in enumerate(kept) if not at or letter != kept[at - 1])


_NEAR = frozenset(("bare", "hard", "high", "late", "near", "short"))
"""Words whose -ly says something else."""


@lru_cache(maxsize=8192)
def _endings(word: str) -> frozenset[str]:
    """The plural, past, -ing, -ion and -ly of a word of letters; of a plural, the past (`sheared` for shears)."""
    if len(word) < 3 or not word.isalpha():
        return frozenset()
    stem = word[:-1] if word.endswith("s") and not word.endswith(("ss", "us")) else word
    bare, doubled = stem.removesuffix("e"), stem + stem[-1]
    found = {f"{stem}ed", f"{doubled}ed", f"{bare}ing"}
    if len(word) > 3:
        found |= {f"{bare}ed", f"{doubled}ing"}
        found |= {f"{stem}ment", f"{stem}ly"} if stem == word and word not in _NEAR else set()
        found |= {f"{stem}ally"} if stem.endswith("ic") else set()
        found |= {f"{bare[:-1]}sion"} if bare.endswith("d") and len(bare) > 3 else set()
        root = bare.removesuffix("ing")
        found |= {f"{root}ion"} if root.endswith("t") and len(root) > 4 else set()
    if stem == word and (len(word) > 3 or word not in OPPOSED):
        found |= {f"{word}s", f"{word}es"} if not word.endswith("ss") else {f"{word}es"}
        found |= {f"{word[:-1]}ies", f"{word[:-1]}ied"} if word.endswith("y") else set()
    return frozenset(map(spelling, found))


def same_joined(typed: Sequence[str], wanted: Sequence[str]) -> bool:
    """Whether words that are written apart on one side alone are the same, the last one in another form too
    (`overtemp` for over temperature)."""
    if same_word(spelling("".join(typed)), spelling("".join(wanted))):
        return True
    parts, joined = (typed, wanted[0]) if len(typed) > 1 else (wanted, typed[0])
    head = "".join(parts[:-1])
    return len(head) > 1 and joined.startswith(head) and same_word(joined[len(head) :], parts[-1])


def may_join(typed: Sequence[str], wanted: Sequence[str]) -> bool:
    """Digits don't run into what stands before them (`1 1` isn't `11`), nor does the letter that names one of several
    (`pump s` isn't pumps); a negation stays a word (`not able` isn't `notable`), but for the prefix `non`."""
    for side in (typed, wanted):
        if len(side) > 1 and len(side[-1]) == 1 and len(side[-2]) > 2 and side[-1].isalpha():
            return False
        named = len(side) == 2 and side[0].isalpha() and side[1].isdigit()  # `TRU1`
        if not named and any(not word[0].isalpha() for word in side[1:]):
            return False
    counts = [sum(word in NEGATIONS and word != "non" for word in side) for side in (typed, wanted)]
    return counts[0] == counts[1]
