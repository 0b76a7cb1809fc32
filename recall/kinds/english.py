"""Names and phrases of a note in the middle of an English sentence: small letters, articles, number."""

from collections.abc import Sequence
from functools import lru_cache

from recall.base import regex as re
from recall.base.text import word_set
from recall.kinds.prose.lexicon import VERBS

_PLAIN = re.compile(r"[A-Z][a-z]{2,}(?=[\s,/'’-]|$)")
_SHORT = re.compile(r"(?:An|As|At|By|For|If|In|It|No|Of|On|Or|Out|To|Up)\b(?!\.)")
_TITLE = re.compile(r"[A-Z][a-z]{2,}\b")
"""A second word with its capital: all of it is a name (`Input Impedance`), which keeps them."""
_NAMES = re.compile(r"V[^aeiou\s]|M(?:mo|ne|fe|ach)\b")
_NUMBERED = re.compile(r"\d|\b[A-Z]$")
_RATED = re.compile(r"^\d[\d.,]* ?(?:[A-Za-z]{1,3}|%) |\s*\([^()]*\)")
"""An amount before a name, and brackets: no number of the thing itself (`24 V bus`, `rotator (10 A fuse)`)."""
_DONE = word_set("""
    feather autofeather flight takeoff take-off descent ascent climb reverse discharge talk air heat power replies
    silence
""")
"""What is done, goes on or is no one thing, and takes no article, as what sounds like it: `pressurisation`, `water
takeoff`, `cabin air`."""
_THINGS = word_set("""
    bearing building casing coupling cowling fairing fitting heading housing lining mooring ring spring string warning
    wing winding position section setting station element instrument compartment
""")
_DETERMINED = word_set(
    "a an the each every all both any no this that these those its their one two three four"
)
_COUNTED = word_set("both two three four five six seven eight nine ten all")
_PAST = {
    "break": "broken", "burst": "burst", "clog": "clogged", "close": "closed", "cut": "cut", "dig": "dug",
    "drop": "dropped", "fail": "failed", "form": "formed", "freeze": "frozen", "jam": "jammed", "lose": "lost",
    "occur": "occurred", "open": "opened", "overheat": "overheated", "release": "released", "run": "run",
    "seize": "seized", "slip": "slipped", "start": "started", "stick": "stuck", "stop": "stopped", "trip": "tripped",
}  # fmt: skip
_HAPPENS = re.compile(rf"(\S.*?) (do(?:es)? not )?({'|'.join(_PAST)})(s?)\b(.*)")
_LONG = 5
"""Signs of a word that is no symbol, though a stroke or hyphen stands in it (`wing-down`, `flaps/slats`)."""
_PARTING = word_set("""
    on in at of for from to with without above below beside between over under before after behind against per through
    into onto along across while when by afloat aloft ashore
""")
BEHIND = re.exact(rf"\s+(?:{'|'.join(sorted(_PARTING))})\b", holds=[f" {word}" for word in _PARTING])
"""Words that part a thing from what is said of it."""
_SMALL = "abcdefghijklmnopqrstuvwxyz-"
_PEOPLE = ("people", "women")
_ONE_THING = word_set("gas bias canvas chassis lens series mass class bus brass") | {"oas"}


@lru_cache(maxsize=4096)
def lower(phrase: str) -> str:
    """A phrase for the middle of a sentence: `Oil pressure` and `A duct` lose their capital, `TGT`, `Np` keep it."""
    if not phrase[:1].isupper():
        return phrase
    first, _, rest = phrase.partition(" ")
    if rest[:1].isupper() and _TITLE.match(rest):
        return phrase
    worded = first.isascii() and first.isalpha() and len(first) > 2 and first[1:].islower()
    plain = bool(worded or _PLAIN.match(phrase) or _SHORT.match(phrase))
    plain = plain and not (phrase[0] in "VM" and _NAMES.match(phrase))
    article = first == "A" and rest.split(" ")[0] not in VERBS and (rest[:1].islower() or rest[:1].isdigit())
    if plain or article:
        return phrase[0].lower() + phrase[1:]
    return phrase


def is_plural(name: str) -> bool:
    """Whether a name means several things: `Two clicks on the intercom`, `Left pumps`."""
    words = BEHIND.split(name.partition(", ")[0])[0].split() or [""]
    if len(words) > 1 and words[0].endswith("ing") and words[1].casefold() in _DETERMINED:
        return False  # what is done to them
    last = words[-1][:1].lower() + words[-1][1:]
    ends = last[-1:] == "s" and last[-2:-1] not in "siu'’" and not last[:-2].strip(_SMALL)
    several = len(last) > 3 and (ends or last in _PEOPLE) and last not in _ONE_THING
    return several or words[0].casefold() in _COUNTED


def the(name: str) -> str:
    """A thing's name in a sentence: `the bleed manifold`, `the GPU`; with a number or a letter it stands alone, and
    what is done has no article."""
    words = name.split()
    head = BEHIND.split(name)[0]
    title = len(words) > 1 and words[1].istitle() and len(words[1]) > 1
    said = name if title else lower(name)
    numbered = head[-1:].isupper() or "(" in head or any(map(str.isdigit, head))
    alone = (
        not words
        or (numbered and _NUMBERED.search(_RATED.sub("", head)))
        or words[0].casefold() in _DETERMINED
        or _is_done(head.split())
    )
    return said if alone else f"the {said}"


def _is_done(words: Sequence[str]) -> bool:
    """Whether the words of a name are of what is done or goes on."""
    if words[0].casefold() in ("left", "right"):
        return False
    acts = len(words) > 1 and words[1] in _DETERMINED and words[0].endswith("ing")
    last = words[-1].casefold()
    sounds = (last.endswith("ing") and len(last) > 5) or (
        last.endswith(("sion", "tion", "ment")) and len(last) > 6
    )
    return acts or (((sounds and last.replace("_", "").isalnum()) or last in _DONE) and last not in _THINGS)


def has_happened(clause: str) -> str:
    """What happens as who sees its signs says it: `The pump has failed` of `The pump fails`; words without such a
    verb stay as they are."""
    found = _HAPPENS.fullmatch(clause)
    who, denied, verb, ending, rest = found.groups() if found else ("", None, "", "", "")
    many = is_plural(who)
    if not who or bool(ending) is (many or bool(denied)) or VERBS.intersection(who.split()[1:]):
        return clause
    return f"{who} {'have' if many else 'has'} {'not ' if denied else ''}{_PAST[verb]}{rest}"


def upper(phrase: str) -> str:
    """A phrase for the head of a sentence; a first word that isn't plain lower case stays (`pH`, `i/c`)."""
    if not phrase[:1].islower():
        return phrase
    first = phrase.split(" ")[0].rstrip(",;:")
    word = first if len(first) < _LONG else first.replace("-", "").replace("/", "").replace("'", "")
    return phrase[0].upper() + phrase[1:] if word.isalpha() and word.islower() else phrase
