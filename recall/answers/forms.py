"""Other forms of one answer: what was typed and what is right, the other way round, folded, written out."""

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

from recall.answers.alike import same_word
from recall.answers.model import Lore
from recall.answers.rewriting import rewriting
from recall.answers.synonyms import COMMON, one_phrase
from recall.answers.tokens import Tokens
from recall.answers.vocabulary import ARTICLES, FIXED, NEGATIONS, ORDERING, spelling
from recall.base import regex as re
from recall.base.text import key_form, words_of

_MOST_TURNED = 3
"""Words of either side of an `and`."""

_marks = rewriting(r"""
    (?<=[^\W\d])\s*[,;/+]\s*(?:and\b\s*)?(?=[^\W\d]) => ~and~
    \bbetween\s+(-?\d[^;,]*?)\s+and\s+(?=-?\d) => \1 to~
    ^(?:(?:if|when|while|in case|because|since|you['’]re|please|must|should|remain|stay|keep) )+ =>
    \b(?:ha(?:s|ve) )?(?:dropp|f[ae]ll|go|decreas|ris|climb|increas)\w* (?=(?:to )?(?:below|under|above|over)\b) =>
    \btemperature (?:(?:is|gets|becomes|goes) )?(?:too )?(high|low)\b => temperature too \1
    \btemperature too high\b|\boverheat(?:s|ed|ing)?\b => too hot
    \b(?:high|excessive) (.+?) temperature\b => \1 too hot
    ^(?:(?:it(?:['’]s| is) )?(?:fed|powered|supplied|driven) )?(?:by|from) (?:the )?(?=\w) =>
    ^(?:exercise|use|make|perform|execute|carry out) (?:an? |the )? =>
    (?<![\d.,])(\.?\d[\d.,]*(?: ?[a-z°%]+)?) or (?:more|above|higher|greater)\b => at least \1
    (?<![\d.,])(\.?\d[\d.,]*(?: ?[a-z°%]+)?) or (?:less|below|lower|fewer)\b => at most \1
    \b(?:once (?:an?|per|every|each)|each|every) (hour|minute|day|month|year)\b => every 1 \1
    \b(left|right|port|starboard)[- ](?:hand(?:ed)?|side)\b => \1
    \b(?:both(?: of)?|(?:the|all) two)(?: the)? (?=[\w ]*?s\b) =>
    \b(?:that|which) (?:gives?|shows?|measures?)\b|\bto (?:give|show|measure)\b => for
    \b(?:giv|show|measur)ing\b => for
    \b(?:that|which) (\w{2,}[^\Ws])s\b => \1ing
    ^(?:the )?(.+?) (disagree|differ)s? (?:with|from) (.+)$ => \1 and \3 \2
    ^no (.+) (\w+ed)$ => \1 not \2
    ^(.+) (?:(?:has|have|with|gets?|receives?) no|without) (.+)$ => no \1 \2
    ^no (.+) (?:from|for|of|on|at|to) (.+)$ => no \2 \1
    ^no (?!.*\b(?:los[est]+|fail\w*|fault\w*|dead)\b)(.+)$ => \1 lost
    \b(light|lamp|caption) (?:is |are |ha(?:s|ve) )?(?:c[oa]mes? )?(?:on|lit|illuminated)$ => \1
    (?<=\w) (?:will )?(?:forms?|occurs?|happens?|results?|develops?|appears?|builds? up)$ =>
""")
"""What may stand for other words: a mark for an `and` between words; a noun for what
is lost, or has failed; at once. What needn't be said: that a condition is one, that a light is on, that there are
two of what is plural, that something is done, or comes about."""
_DENIED = re.any_case(
    r"\b(?:not|non|(?:do|does|did|is|are|was|were)(?: not|n['’]?t))[ -](\w{4,}?)(s|ed|d)?\b"
)
_DENIES = re.compile(r"^(?:dis|un|in|de)(?=\w{4})")
"""The same as one word: `unlocked`."""
_PASSIVE = re.any_case(r"(.+?) (?:(?:is|are|was|were|gets?|being) )?(\w+[^\We]ed) (?:by|in|with) (.+)")
_OF = re.any_case(r"^(.+?)\s+(of|for|at|in|between|on the)\s+(.+)$")
_WITHIN = re.any_case(r"\b(\w+) (of|for|in) (?:the |an? )?(\w+)\b(?=.)")
_FORBIDDING = re.any_case(r"\b(?:never|(?:must|should)(?: not|n['’]?t)|not (?:do|to))\b")
_FORBIDDEN = re.any_case(r"^(?:never|do not|don['’]?t) +")
"""What the question may say already: what must never be done."""
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth")
_ORDINAL = re.any_case(rf"(?<!\d[ -])\b({'|'.join(_ORDINALS)}) (\w+)")
_PLACING = ("in", "at", "of", "from", "to")
"""Behind these stands what the rest belongs to: `water in fuel`."""


@lru_cache(maxsize=8192)
def folded(text: str) -> str:
    """A text in the words that may stand for its own."""
    text = _ORDINAL.sub(
        lambda found: f"{found[2]} {_ORDINALS.index(found[1].casefold()) + 1}", one_phrase(text)
    )
    return _marks(text)


def _turned(text: str, other: str, *, names: bool) -> Iterator[str]:
    """`oil pressure loss` for loss of oil pressure, `spray covered it` for it is covered by spray, `oil and fuel low`
    for fuel and oil low. other: what it is compared with; names: `fuse 6, box 1` for box 1, fuse 6."""
    for part in (*_OF.finditer(text), *_WITHIN.finditer(text)):
        if NEGATIONS.isdisjoint(part[3].casefold().split()) and f" {part[2]} " not in f" {other} ":
            yield f"{text[: part.start()]}{part[3]} {part[1]}{text[part.end() :]}"
    if names and text.count(", ") == 1:
        yield ", ".join(reversed(text.split(", ")))
    if found := _PASSIVE.fullmatch(text):
        yield f"{found[3]} {found[2]} {found[1]}"
    words = text.split()
    said = [word.casefold() for word in words]
    at = next((at for at, word in enumerate(said) if word in ("and", "or")), 0)
    never = NEGATIONS if said[at : at + 1] == ["or"] else FIXED
    for begin in range(max(0, at - _MOST_TURNED), at):
        for end in range(at + 2, min(len(words), at + 1 + _MOST_TURNED) + 1):
            alone = end - begin == 3 or end - begin == len(words)
            if (NEGATIONS if alone else never).isdisjoint(said[begin:at] + said[at + 1 : end]):
                one, two = words[begin:at], words[at + 1 : end]
                yield " ".join([*words[:begin], *two, words[at], *one, *words[end:]])


def forms(given: str, right: str, lore: Lore) -> Iterator[tuple[str, str]]:
    """What was typed and what is right, as they stand; in words that may stand for theirs; with the other of two
    alternatives first; with abbreviations of the deck written out."""
    if _FORBIDDING.search(lore.prompt):
        given, right = (_FORBIDDEN.sub("", text) for text in (given, right))
    yield given, right
    both = folded(_as_said(given, right)), folded(_as_said(right, given))
    if both != (given, right):
        yield both
    yield from ((both[0], turned) for turned in _turned(*both[::-1], names=lore.names))
    yield from ((turned, both[1]) for turned in _turned(*both, names=lore.names))
    short = _written_out(lore, right)
    out = _out(given, short), _out(right, short)
    if out != (given, right):
        yield folded(out[0]), folded(out[1])


def _as_said(text: str, other: str) -> str:
    """A text with the joints of the other one, and `not locked` as its `unlocked`."""
    low = f" {other.casefold()} "
    for mark, joint in (("/", " or "), (" and ", " with ")):
        if mark in text and joint in low and mark not in low:
            text = re.sub(rf"\s*{mark}\s*", joint, text)
    words = {_DENIES.sub("", word): word for word in low.split() if _DENIES.match(word)}

    def joined(found: re.Match[str]) -> str:
        return next(
            (whole for root, whole in words.items() if same_word(root, found[1].casefold())), found[0]
        )

    return _DENIED.sub(joined, text) if words else text


def _written_out(lore: Lore, right: str) -> Mapping[str, str]:
    """The deck's abbreviations of one meaning, and those that need stand in none, but for the one that is asked
    about."""
    asked = set(words_of(lore.prompt))
    deck = {spelling(term.casefold()): meanings for term, meanings in lore.short.items()}
    both = {**{term: (meaning,) for term, meaning in COMMON.items()}, **deck}
    return {
        term: meanings[0]
        for term, meanings in both.items()
        if len(meanings) == 1
        and term.isalnum()
        and not (term in asked and key_form(meanings[0]) == key_form(right))
    }


def _out(text: str, short: Mapping[str, str]) -> str:
    def meaning(found: re.Match[str]) -> str:
        bare = spelling(found.group().replace(".", "").casefold())
        name = bare.rstrip("0123456789")  # `TRU1`
        apart = f"{short[name]} {bare[len(name) :]}" if name in short else found.group()
        return short.get(bare, apart)

    return re.sub(r"(?:[^\W\d_]\.){2,}|[^\W_]+", meaning, text)


def _content(tokens: Tokens, small: Collection[str]) -> list[str]:
    """Words that tell something, whatever their order: an `in` before a place tells nothing."""
    words = tokens.words
    return [
        word
        for at, word in enumerate(words)
        if at in tokens.letters
        or not (word in small or word in ("from", "with") or (word == "in" and 0 < at < len(words) - 1))
    ]


def moved(typed: Tokens, wanted: Tokens, small: Collection[str], alike: Callable[[str, str], bool]) -> bool:
    """Whether they are the same words with one run of them moved (`ATC clearance` for a clearance from ATC), in a
    phrase whose order tells nothing: no two sides, numbers, negations, nor a verb between two things."""
    said = {*typed.words, *wanted.words}
    if "off" not in said and ("on" in typed.words[:-1]) != ("on" in wanted.words[:-1]):
        small = {*small, "on"}  # `trips on overload`
    one, two = _content(typed, small), _content(wanted, small)
    ways = [{"from", "to"} & {*side.words} for side in (typed, wanted)]
    for placing in {*_PLACING} & {*typed.words} & {*wanted.words}:
        if not alike(_behind(placing, typed), _behind(placing, wanted)):
            return False
    if len(one) != len(two) or len(two) < 2 or (all(ways) and ways[0] != ways[1]):
        return False

    def same(left: Sequence[str], right: Sequence[str]) -> bool:
        return all(map(alike, left, right))

    if same(one, two):
        return True
    if not NEGATIONS.isdisjoint(two):
        return False
    adverbs, rest = (
        [[word for word in side if word.endswith("ly") == kind] for side in (one, two)]
        for kind in (True, False)
    )
    if adverbs[0] and sorted(adverbs[0]) == sorted(adverbs[1]) and same(*rest):
        return True  # `automatically lock` for lock automatically
    if not ORDERING.isdisjoint(two):
        return False
    if any(
        same(turned, two) and (_turns(turned[at]) or _turns(two[at]))
        for at, turned in ((-1, one[1:] + one[:1]), (0, one[-1:] + one[:-1]))
    ):
        return True  # `low envelope pressure` for envelope pressure low
    fixed = [word for word in two if word in FIXED or not word.isalpha()]
    verbs = any(
        word.endswith("s") and not word.endswith(("ss", "us")) and not before.isdigit()
        for before, word in pairwise(two[:-1])
    )
    if verbs or len(fixed) > 1 + (sum(map(str.isdigit, fixed)) == 1):
        return False
    while one and alike(one[0], two[0]):
        one, two = one[1:], two[1:]
    while one and alike(one[-1], two[-1]):
        one, two = one[:-1], two[:-1]
    return any(same(one[at:] + one[:at], two) for at in range(1, len(one)))


def _behind(placing: str, side: Tokens) -> str:
    """The first word behind a word of place, articles aside."""
    behind = side.words[side.words.index(placing) + 1 :]
    return next((word for word in behind if word not in ARTICLES), placing)


def _turns(word: str) -> bool:
    return word in FIXED or word in _STATES or word.endswith(("ing", "ed", "ly")) or word.isdigit()


_STATES = frozenset(("worn", "torn", "broken", "stuck", "frozen", "lost", "burnt", "bent", "blown"))
