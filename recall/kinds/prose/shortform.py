"""What looks like an abbreviation, and whether its letters agree with words."""

from collections.abc import Iterator, Sequence
from functools import lru_cache

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.prose.lexicon import ASIDE, SIGNALS
from recall.kinds.prose.sentence import without_marks
from recall.notes.model import Text

MOST_SIGNS = 12
_SHORT = re.compile(r"[+\-]?[A-Za-zΑ-Ωα-ω0-9À-ÖØ-Þ]+(?:[/&.\-' ][A-Za-zΑ-Ωα-ω0-9À-ÖØ-Þ]+)*\.?")
_OPTIONAL = re.compile(r"^\(([A-Z])\)(?=[A-Z])|(?<=[A-Z])\(([A-Z])\)$")
"""A letter that may be left out: `(H)PU`, `FI(S)`."""
_SPEED = re.compile(r"[VM][A-Za-z]{0,2}[A-Za-z0-9]{1,4}(?:/[VM][A-Za-z0-9]{1,5})?")
_QUANTITY = re.compile(r"[+\-]?\d+(?:[.,]\d+)?\s*(?:[A-Za-z%°]{0,5})")
_SENTENCE = re.any_case(
    r"\b(?:is|are|was|were|must|shall|should|will|would|can|cannot|may|might|has|have|does|do|did|not|if|when|"
    r"you|your|we|click|see)\b"
)
_SEPARATOR = re.compile(
    r"\s*(?:\.{3,}|…+)\s*|\s*(?:\. ){3,}\.?\s*|\s[-\u2010-\u2015]\s+|:\s+|\s*=\s*|"
    r"\s+(?:→|[-=]>)\s+"
)
_ENDS = re.compile(r"\. |\s[(\[]|\s[-\u2013\u2014]\s|; ")
_IN_BRACKETS = re.compile(r"(?<=\w )\(([A-Z]{2,7})s?\)")
_STANDS = re.compile(r"\b([A-Z][A-Za-z\d/]{1,7}) (?:(?:stands|is short) for (?:an? |the )?|\()([^.,;:()]+)")
_WORDS = re.compile(r"[^\W\d_][\w'’]*")
_PARTED = re.compile(r"[^\w\s'’&/-]")
_TOLD = re.any_case(r"\b(?:at which|that|which|when)\b")
"""Words that explain a speed, and don't name it."""
_CROSS = {"x": "xtce"}


def looks_short(term: str) -> bool:
    """Whether a term is written as an abbreviation is: short, with capitals or digits inside (`APU`, `N1`, `kVA`,
    `Vmo/Mmo`, `A/C`, `-RA`)."""
    term = _OPTIONAL.sub(r"\1\2", one_line(term))
    if not 0 < len(term) <= MOST_SIGNS or not _SHORT.fullmatch(term) or _QUANTITY.fullmatch(term):
        return False
    if is_signal(term):
        return False
    if _SPEED.fullmatch(term) and any(sign.isdigit() or sign.isupper() for sign in term[1:]):
        return True
    capitals = sum(sign.isupper() for sign in term)
    if capitals >= 2:
        return all(
            len(word) <= 8 and not word[1:].islower()
            for word in re.split(r"[/&.\-' ]", term)
            if len(word) > 4
        )
    return (capitals == 1 and (len(term) <= 2 or any(sign.isdigit() for sign in term))) or bool(
        re.fullmatch(r"[a-z]{1,3}[A-Z][A-Za-z]?|V[a-z]{1,4}|(?:[A-Za-z]\.){2,}|[Α-Ωα-ω]\w{0,2}", term)
    )


def is_signal(term: str) -> bool:
    """Whether a term introduces or sets something: `Note`, `WARNING`, `ON`."""
    return term.casefold().rstrip(".:") in SIGNALS


@lru_cache(maxsize=4096)
def core_of(term: str, meaning: str) -> str:
    """The words at the head of a meaning with which a term's letters agree (`Auxiliary power unit (gas turbine)`
    for APU: the first three words), or nothing.

    Letters are matched from the end, the first one at the head of a word (Schwartz & Hearst 2003, "A simple algorithm
    for identifying abbreviation definitions in biomedical text"; from memory).
    """
    meaning = one_line(meaning)[:200]
    ends = [*(found.start() for found in _ENDS.finditer(meaning)), len(meaning)]
    for end in ends:
        head = meaning[:end].strip().rstrip(".,;")
        if head and _agree(term, head):
            return head
    return ""


def agrees(term: str, meaning: str) -> bool:
    """Whether a term's letters agree with the words at the head of a meaning."""
    return bool(core_of(term, meaning))


def _agree(term: str, words: str) -> bool:
    if _SPEED.fullmatch(term) and "speed" in words.casefold() and len(words.split()) <= 12:
        return True
    letters = "".join(sign for sign in term.casefold() if sign.isalnum())
    most = min(len(letters) + 5, len(letters) * 2)
    if not letters or len(letters) < 2 or len(re.findall(r"\w+", words)) > most:
        return False
    if words.casefold().replace(" ", "") == letters or term.casefold() in re.findall(
        r"[^\s()]+", words.casefold()
    ):
        return False
    return _match(letters, words.casefold())


def _match(letters: str, words: str) -> bool:
    at = len(words)
    for number in range(len(letters) - 1, -1, -1):
        wanted = _CROSS.get(letters[number], letters[number])
        at -= 1
        while at >= 0 and (words[at] not in wanted or (number == 0 and at > 0 and words[at - 1].isalnum())):
            at -= 1
        if at < 0:
            return False
    return True


def spells(words: str, term: str) -> bool:
    """Whether letters can be written by who knows the words: the initial of each, small ones aside, and after it more
    letters of the same word (`KIAS`, `GEN`, `HDG`)."""
    letters = "".join(sign for sign in term.casefold() if sign.isalnum())
    said = re.findall(r"[^\W_]+", core_of(term, words).casefold() or words.casefold())
    ways = (said, [word for word in said if word not in ASIDE])
    return len(letters) > 1 and any(_spelt(letters, way) for way in ways)


def stands_for(term: str, words: str) -> bool:
    """Whether letters are made of words from the first one on, and not of it alone (`TEMPO` of temporary
    fluctuations), or are those of a speed by its name."""
    if _SPEED.fullmatch(term) and "speed" in words.casefold():
        return _TOLD.search(words) is None
    letters = "".join(sign for sign in term.casefold() if sign.isalnum())
    every = re.findall(r"[^\W_]+", words.casefold())
    said = [word for word in every if word not in ASIDE] or every
    one = len(said) > 1 and len(letters) > 2 and core_of(term, said[0])
    first = {every[0][0], said[0][0]}
    return spells(words, term) or (not one and not first.isdisjoint(_CROSS.get(letters[0], letters[0])))


def _spelt(letters: str, words: Sequence[str]) -> bool:
    word, at = -1, 0
    for letter in letters:
        if word + 1 < len(words) and words[word + 1][0] == letter:
            word, at = word + 1, 1
        elif word >= 0 and (found := words[word].find(letter, at)) >= 0:
            at = found + 1
        else:
            return False
    return word == len(words) - 1


def explained(text: str) -> Iterator[tuple[str, str]]:
    """Letters in running text: in brackets behind the words whose initials they are, or with what they stand for."""
    for found in _STANDS.finditer(text):
        if (meant := core_of(found[1], found[2])) and spells(meant, found[1]):
            yield found[1], meant
    for found in _IN_BRACKETS.finditer(text):
        letters = found[1].casefold()
        words = list(_WORDS.finditer(text, 0, found.start()))
        named = [one for one in words if one[0].casefold() not in ASIDE][-len(letters) :]
        between = text[named[0].start() : found.start()] if named else ""
        if "".join(one[0][0].casefold() for one in named) == letters and not _PARTED.search(between):
            yield found[1], between.strip()


def is_sentence(meaning: str) -> bool:
    """Whether words say something rather than spell a name out."""
    return bool(_SENTENCE.search(meaning)) or len(meaning.split()) > 12


def starts_with_number(meaning: str) -> bool:
    """Whether words begin with a number, or hold no letters: a value, not a meaning."""
    return bool(re.match(r"[<>≤≥±~+\-\u2212]?\s*\d", meaning)) or not re.search(r"[^\W\d_]", meaning)


def split_term(text: Text) -> tuple[str, str] | None:
    """A bullet's term and its words: `**ABC** – words`, `ABC: words`, `` `X` - y``, `X = y`, `X ..... y`; or None."""
    return split_head(text, MOST_SIGNS * 5)


def split_head(text: Text, most: int = 80) -> tuple[str, str] | None:
    """A bullet's head, of at most so many signs where it isn't in bold or code, and the rest; None where no sign
    parts them."""
    plain = without_marks(text.plain.strip())
    lead = text.lead
    if lead and lead.text.strip():
        term = without_marks(lead.text.strip())
        rest = plain[len(term) :] if plain.startswith(term) else ""
        found = re.match(r"\s*(?:\((?:n|v|adj|abbr)\.\)\s*)?(?:\.{2,}|…|[-\u2010-\u2015:=])+\s*", rest)
        if term.endswith((":", "=", "–", "—", "-")) and len(term) > 1:
            term = term.rstrip(":=–—- ")
            return (term, rest.strip()) if rest.strip() else None
        if found and rest[found.end() :].strip():
            return term, rest[found.end() :].strip()
        if lead.bold or (found and not rest[found.end() :].strip()):
            return None
    found = _SEPARATOR.search(plain[:most])
    if not found or not found.start():
        return None
    term, rest = plain[: found.start()].strip(), plain[found.end() :].strip()
    return (term, rest) if term and rest else None
