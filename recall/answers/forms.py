"""Other forms of one answer: what was typed and what is right, the other way round, folded, written out."""

from collections.abc import Collection, Iterator, Mapping

from recall.answers.alike import same_word
from recall.answers.model import Lore
from recall.answers.tokens import COUNTED, tokens_of
from recall.answers.vocabulary import FIXED, NEGATIONS, SMALL, spelling
from recall.base import regex as re
from recall.base.text import one_line, words_of

_JOINTS = SMALL | {"from"}
_LEAST_MOVED = 3
_MOST_TURNED = 3
"""Words of either side of an `and`."""

_MARKS = (
    (re.compile(r"(?<=[^\W\d])\s*[,;/+]\s*(?:and\b\s*)?(?=[^\W\d])", re.I), " and "),
    (re.compile(r"\bbetween\s+(-?\d[^;,]*?)\s+and\s+(?=-?\d)", re.I), r"\1 to "),
    (re.compile(r"(?<=[\d%°])\s*(?:[-–—]|\.\.|…)\s*(?=\d)"), " to "),
    (re.compile(r"^(?:if|when|while|in case) ", re.I), ""),
    (re.compile(r"\b(?:at once|(?:right|straight) away|immediate)\b", re.I), "immediately"),
    (re.compile(r"\b(light|lamp|caption) (?:is |comes )?(?:on|lit|illuminated)$", re.I), r"\1"),
    (re.compile(r"^(?:the )?(?:loss of|lost|loses?|losing) (.+)$|^(.+) loss$", re.I), r"\1\2 lost"),
    (re.compile(r"^(?:the )?failure of (.+)$|^(.+) (?:fails|failure)$", re.I), r"\1\2 failed"),
)
"""What may stand for other words: a mark for an `and` between words, or for a `to` between numbers; a noun for what
is lost, or has failed; at once. What needn't be said: that a condition is one, that a light is on."""
_TURNED = (
    re.compile(r"(.+?)(?:\s*(?:…|\.{3}|:)\s*|\s+[-–—]\s+)(.+)"),
    re.compile(r"(.+?)\s+(?:of|for|from|at)\s+(.+)", re.I),
    re.compile(r"(.+)\s+(only)", re.I),
    re.compile(r"(only)\s+(.+)", re.I),
)
"""What is as right the other way round: a thing and its step, a noun and what it is of, `only`."""


def folded(text: str) -> str:
    """A text in the words that may stand for its own."""
    for pattern, said in _MARKS:
        text = pattern.sub(said, text)
    return text


def _turned(text: str) -> Iterator[str]:
    """`START drive` for `Drive – START`, `oil pressure loss` for loss of oil pressure, `oil and fuel low` for
    fuel and oil low."""
    for pattern in _TURNED:
        parts = [part.split() for part in found.groups()] if (found := pattern.fullmatch(text)) else []
        if parts and not any(word.casefold() in (*NEGATIONS, *_JOINTS) for word in parts[1]):
            yield " ".join(parts[1] + parts[0])
    words = text.split()
    said = [word.casefold() for word in words]
    at = next((at for at, word in enumerate(said) if word in ("and", "or")), 0)
    never = NEGATIONS if said[at : at + 1] == ["or"] else FIXED
    for begin in range(max(0, at - _MOST_TURNED), at):
        for end in range(at + 2, min(len(words), at + 1 + _MOST_TURNED) + 1):
            if never.isdisjoint(said[begin:at] + said[at + 1 : end]):
                one, two = words[begin:at], words[at + 1 : end]
                yield " ".join([*words[:begin], *two, words[at], *one, *words[end:]])


def forms(given: str, right: str, lore: Lore) -> Iterator[tuple[str, str]]:
    """What was typed and what is right, as they stand; with `and` for a comma; with the other of two alternatives
    first; with numbers of things at the end; with abbreviations of the deck written out."""
    yield given, right
    typed, wanted = tokens_of(given), tokens_of(right)
    if (both := (folded(given), folded(right))) != (given, right):
        yield both
    yield from ((given, turned) for turned in _turned(right))
    yield from ((turned, right) for turned in _turned(given))
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
        key = spelling(term.casefold())
        itself = key in asked and one_line(meanings[0]) == one_line(right)
        if len(meanings) == 1 and key.isalnum() and not itself:
            found[key] = meanings[0]
    return found


def _out(text: str, short: Mapping[str, str]) -> str:
    return re.sub(r"(?:[^\W\d_]\.){2,}|[^\W_]+", lambda word: _meaning(word.group(), short), text)


def _meaning(word: str, short: Mapping[str, str]) -> str:
    bare = spelling(word.replace(".", "").casefold())
    number = re.fullmatch(r"([^\W\d]+)(\d+)", bare)  # `TRU1`
    if bare not in short and number and number[1] in short:
        return f"{short[number[1]]} {number[2]}"
    return short.get(bare, word)


def moved(given: str, right: str) -> bool:
    """Whether they are the same words with one run of them moved (`ATC clearance` for a clearance from ATC), in a
    phrase whose order tells nothing: no sides, numbers, negations, nor a verb between two things."""
    one, two = ([word for word in tokens_of(text).words if word not in _JOINTS] for text in (given, right))
    adverbs = [sorted(word for word in side if word.endswith("ly")) for side in (one, two)]
    if adverbs[0] == adverbs[1] != [] and NEGATIONS.isdisjoint(two) and len(one) == len(two):
        rest = ([word for word in side if not word.endswith("ly")] for side in (one, two))
        if all(map(same_word, *rest)):
            return True  # `automatically lock` for lock automatically
    if len(one) == len(two) > 1 and NEGATIONS.isdisjoint(two):
        around = (one[1:] + one[:1], one[-1:] + one[:-1])
        if any(turned == two and turned[at] in FIXED for at, turned in zip((-1, 0), around, strict=True)):
            return True  # `low envelope pressure` for envelope pressure low
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
