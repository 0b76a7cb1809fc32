"""Lines and headings that name a source over a list of what it feeds: `**Bus 1** feeds:`, `Loads of bus 1`."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.model import Scope
from recall.notes.model import Text

MOST_WORDS = 8
"""Of a name."""

_SOURCE_WORD = re.any_case(
    r"\b(?:bus(?:bar|es|ses)?|bar|panel|pump|battery|batteries|generator|alternator|inverter|converter|rectifier|tru|"
    r"chargers?|apu|gpu|fuses?|fusebox|breakers?|cb|relay|contactor|distributor|transformer|manifold|accumulator|"
    r"reservoir|tank|feeder|mains?|engine|circuit|supply|outlet|rail|line|header|compressor|duct|valve|unit|ups|pdu|rack|"
    r"switchboard|board)\b"
)
_VERB = r"(?:feeds?|powers?|suppl(?:y|ies)|energi[sz]es?|drives)"
_REST = (
    r"(?:\s+(?:(?:all|the|these|those|following|loads?|items?|consumers?|equipment|systems?|services|to|directly)"
    r"\s*)*)?"
)
_NOUN = r"(?:loads|load list|consumers)"
_FEEDS = re.any_case(rf"(?P<x>.+?)\s*[:–—-]?\s*\b{_VERB}{_REST}\s*:?")
_LOADS = re.any_case(
    rf"(?P<x>.+?)\s*(?:[:–—-]\s*|\(\s*)?\b(?:powered |supplied |connected )?{_NOUN}(?:\s+are)?\s*\)?\s*:?"
)
_LOADS_OF = re.any_case(
    rf"(?:(?:the )?{_NOUN}\s+(?:of|on|at|fed (?:by|from)|supplied (?:by|from)|powered (?:by|from))|"
    r"(?:powered|fed|supplied)\s+(?:by|from))\s+(?P<x>.+?)\s*:?"
)
_ONLY_LEAD = re.any_case(
    rf"(?:(?:it|(?:this|the) (?:bus|panel|pump))\s+)?(?:also\s+)?{_VERB}{_REST}\s*:?|"
    rf"(?:the )?{_NOUN}(?:\s+are)?\s*:?"
)
IS_BUS = re.any_case(r"\b(?:bus(?:bar)?|panel|switchboard|fuse ?box|distribution board)\b")
"""Names of what does nothing but feed others."""
SAYS_FED = re.any_case(r"\b(?:feeds?|power|suppl(?:y|ies)|distribution|electrics?)\b")
"""Headings over what feeds what."""
AMOUNT = re.compile(r"\s*\(([^()]*\d[^()]*)\)(?=\W|$)")
"""An amount in brackets behind a name: shown, and no part of it."""
_NO_NAME = re.any_case(
    r"(?:what|which|how|who|where|when|why|if|it|this|that|these|they|each|every|all|both|no)\b"
)


FEEDING = r"(?:feeds?|powers|suppl(?:y|ies)|energi[sz]es?)"
FED_FROM = r"(?:fed|powered|supplied|energi[sz]ed)"
"""Verbs of sentences that name a source and its loads."""
_NO_PART = re.any_case(
    r"\b(?:is|are|when|if|while|unless|until|which|that|with|without|through|via|at|"
    r"and|or|in|on|into|across|from|to|for|during|only|not|more|less|new|it|they|its|(?<=\S )the)\b"
)


def is_source(name: str) -> bool:
    """Whether a name is of something that feeds others."""
    return _SOURCE_WORD.search(name) is not None


def is_name(name: str) -> bool:
    """Whether words name a thing, and say nothing else of it."""
    return len(name.split()) <= MOST_WORDS and not _NO_PART.search(name) and not _NO_NAME.match(name)


def source_named(lead: Text | None, scope: Scope) -> str | None:
    """The source that the line above a list, or the heading, names, where one of them also says that it feeds."""
    if lead is None:
        return _source(scope.heading, sure=False)
    words = one_line(lead.plain)
    if _ONLY_LEAD.fullmatch(words):
        heading = _source(scope.heading, sure=True) or one_line(scope.heading).rstrip(":. ")
        return heading if _SOURCE_WORD.search(heading) and len(heading.split()) <= MOST_WORDS else None
    if words.endswith((".", "?", "!")) or len(words.split()) > 2 * MOST_WORDS:
        return None
    return _source(words, sure=lead.bold == "all" or (lead.lead is not None and lead.lead.bold))


def _source(words: str, *, sure: bool) -> str | None:
    """The source in `X feeds`, `X loads`, `loads of X`. sure: it stands in bold, and a verb is enough."""
    for pattern in (_LOADS_OF, _FEEDS, _LOADS):
        found = pattern.fullmatch(one_line(words))
        if found is None:
            continue
        name = re.sub(r"^the\s+(?=\S)", "", found["x"].strip(" :–—-"), flags=re.IGNORECASE)
        name = re.sub(rf"{AMOUNT.pattern}$", "", name).rstrip("( ")
        known = _SOURCE_WORD.search(name) is not None or (sure and pattern is _FEEDS)
        if known and len(name.split()) <= MOST_WORDS and not _NO_NAME.match(name):
            return name
    return None
