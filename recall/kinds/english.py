"""Names and phrases of a note in the middle of an English sentence: small letters, articles, number."""

from recall.base import regex as re
from recall.kinds.prose.lexicon import VERBS, bag

_PLAIN = re.compile(r"[A-Z][a-z]{2,}(?=[\s,/'’-]|$)")
_SHORT = re.compile(r"(?:An|As|At|By|For|If|In|It|No|Of|On|Or|Out|To|Up)\b(?!\.)")
_NAMES = re.compile(r"V[^aeiou\s]|M(?:mo|ne|fe|ach)\b")
_NUMBERED = re.compile(r"\d|\b[A-Z]$")
_DETERMINED = bag("a an the each every all both any no this that these those its their one two three four")
_COUNTED = bag("both two three four five six seven eight nine ten all")
_BEHIND = re.compile(r"\s+(?:on|in|at|of|for|from|with|above|below|beside|over|under|after|behind)\s+")


def lower(phrase: str) -> str:
    """A phrase for the middle of a sentence: `Oil pressure` and `A duct` lose their capital, `TGT`, `Np` keep it."""
    first, _, rest = phrase.partition(" ")
    plain = (_PLAIN.match(phrase) or _SHORT.match(phrase)) and not _NAMES.match(phrase)
    if plain or (first == "A" and rest and rest.split(" ")[0] not in VERBS and not rest[0].isupper()):
        return phrase[0].lower() + phrase[1:]
    return phrase


def is_plural(name: str) -> bool:
    """Whether a name means several things: `Two clicks on the intercom`, `Left pumps`."""
    words = re.split(r"\s+(?:on|in|at|of|for|from|with|above|below|beside|over|under|after|behind)\s+", name)[
        0
    ].split()
    last = words[-1].rstrip(",") if words else ""
    several = words[0].casefold() in _COUNTED if words else False
    return several or (len(last) > 3 and last.islower() and re.search(r"(?<![siu'’])s$", last) is not None)


def the(name: str) -> str:
    """A thing's name in a sentence: `the bleed manifold`, `the GPU`; with a number or a letter it stands alone."""
    words = name.split()
    if not words or _NUMBERED.search(name) or words[0].casefold() in _DETERMINED:
        return name if _NUMBERED.search(name) else lower(name)
    title = len(words) > 1 and words[1][:1].isupper()
    return f"the {name if title else lower(name)}"


def upper(sentence: str) -> str:
    """A sentence with the capital of its first word."""
    return sentence[:1].upper() + sentence[1:]
