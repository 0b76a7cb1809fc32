"""Plain sentences: parting a text into them, whom a leading pronoun means, where a condition ends."""

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.english import is_plural
from recall.kinds.model import Scope
from recall.kinds.prose.lexicon import BEFORE_NOUNS, CONNECTIVES, GENERAL, VACUOUS, VERBS
from recall.notes.model import Text

MOST_SIGNS = 400
"""Of a text that can surely be read."""
_LABEL = re.any_case(r"^(?:note|caution|warning|important|remember|nb|n\.b\.)\s*[:–—-]\s+(?=\w)")
_TITLE = re.any_case(r"(?:note|caution|warning|important|danger|attention|notice|tip|info)s?[.:!]?")
_NO_STOP = re.any_case(
    r"\b(?:no|nos|approx|e\.g|i\.e|etc|vs|max|min|fig|sec|ref|para|ch|incl|excl|temp|alt|st|mr|dr|cf|resp|eng|gen)\.(?=\s)"
)
_STOP = re.compile(r"(?<=[.!?…])['\")\]]?\s+(?=\S)")
_MARK = re.compile(r"\s*\[\^[\w-]{1,30}\](?!:)")
FOOT = re.compile(r"\[\^([\w-]{1,30})\](?!:)")
"""The mark of a footnote."""
_PRONOUN = re.any_case(r"(it|they|this|these|that|those)\b(?![-'’])")
_NUMBERING = re.any_case(
    r"^(?:\(?\d+(?:\.\d+)*[.)]?|[A-Z]\d*[.)]|(?:chapter|section|part|appendix)\s+\w+\s*[:.–—-]?)\s+"
)
_NO_THING = re.any_case(
    r".*\b(?:that|which|when|if|how|what|who|why|where)\b|no\b|"
    r"\w{2,}ing (?:an?|the|from|after|to|with|without|in|on|at|before|no)\b"
)
"""Headings that name no one thing: clauses, and what is done (`Restarting from a stop`)."""
_DUMMY = re.any_case(
    r"it\s+(?:rains|snows|gets|(?:\w+s|was|does(?:n't| not) matter)\s+(?:(?:not|ever|also|too|very)\s+)*"
    rf"(?:{'|'.join(sorted(VACUOUS))}))\b"
)
"""An `it` that stands for nothing: `it is necessary`, `it rains`."""
_TAKES = re.compile(rf"\w (?!(?:{'|'.join(sorted(BEFORE_NOUNS))})\b)[a-z]{{3,}}(?<!ing) (?:the|an?)\b")
_HEADED = re.compile(r"^[a-z]{2,}[^\Ws]s (?:the|an?|on|up|down|off|out|into|from|away|through) \w")
_PARTICLED = re.compile(r"\w [a-z]{2,}[^\Ws]s (?:up|down|off|out|over|away|apart|back)$")


_ENDS = re.any_case(r"(?<=\S): |,?\s+then\s+|,\s")
"""Where a condition may end."""


def without_marks(text: str) -> str:
    """Words without footnote marks (`[^1]`)."""
    return _MARK.sub("", text) if "[^" in text else text


def sentences_of(text: Text) -> list[str]:
    """The sentences of a text, each without its stop; a label such as `Note:` and footnote marks are left out."""
    plain = _LABEL.sub("", without_marks(one_line(text.plain)))
    if text.lead and text.lead.bold and _TITLE.fullmatch(title := one_line(text.lead.text)):
        # The title of a box, on its first line.
        rest = one_line(text.plain)[len(title) :].lstrip(" :–—-")
        plain = rest if rest[:1].isupper() else plain
    held = _NO_STOP.sub(lambda found: found[0][:-1] + "\0", plain)
    pieces = [piece.replace("\0", ".").strip() for piece in _STOP.split(held)]
    return [piece.rstrip(".!").rstrip() for piece in pieces if piece]


def subject_of(heading: str) -> str:
    """What a heading is about, without its number; nothing where it names no thing (`General`, `Limitations`)."""
    heading = _NUMBERING.sub("", one_line(heading)).rstrip(":. ")
    words = re.findall(r"\w+", heading.casefold())
    if (
        not words
        or heading.endswith("?")
        or len(words) > 8
        or all(word in GENERAL or word.isdigit() for word in words)
    ):
        return ""
    return heading


def with_subject(phrase: str, scope: Scope) -> str | None:
    """The phrase with a leading pronoun replaced by the heading's subject; None where that can't be told: `this` is
    one only right before its verb."""
    found = _PRONOUN.match(phrase)
    if not found:
        return phrase
    heading, rest = subject_of(scope.heading), phrase[found.end() :]
    named = found[1].casefold() in ("it", "they") or not VERBS.isdisjoint(rest.split()[:1])
    if not heading or not named or _DUMMY.match(phrase):
        return None
    if not has_verb(heading):
        none = _NO_THING.match(heading) or (found[1].casefold() == "it" and is_plural(heading.lower()))
        return None if none else heading + rest
    return f"it{rest} ({heading})" if re.match(r"\s+(?:happens|occurs)\b", rest) else None


def has_verb(phrase: str) -> bool:
    """Whether the words are a clause (`the pump fails`), as far as a list of common verbs can tell."""
    return any(word in VERBS for word in re.findall(r"[^\W\d_]+(?:['’]t)?", phrase.casefold())[1:])


def is_clause(phrase: str) -> bool:
    """Whether the words are a clause by a common verb; by any word between its subject and an article (`six make a
    ring`), where no name has one; or by a verb at its head or with a particle at its end (`feeds the mould`, `lime
    builds up`)."""
    return has_verb(phrase) or any(form.search(phrase) for form in (_TAKES, _HEADED, _PARTICLED))


def split_condition(rest: str) -> tuple[str, str] | None:
    """What stands behind If or When into condition and consequence; None where it isn't certain where the one ends.

    Sure is a colon, a `then`, or a comma, where no other comma stands before it; of several commas the first, where
    no piece between them can belong to the condition.
    """
    hidden = re.sub(r"\([^()]*\)|\d,\d", lambda held: "_" * len(held.group()), rest)
    ends = [*_ENDS.finditer(hidden)]
    if not ends or ("then" in ends[0][0] and any("then" in other[0] for other in ends[1:])):
        return None
    if ends[0][0] == ", " and len(ends) > 1:
        pieces = _ENDS.split(hidden)
        if not has_verb(pieces[0]) or any(piece.split()[0] in CONNECTIVES for piece in pieces[1:-1]):
            return None
    condition, consequence = rest[: ends[0].start()].strip(), rest[ends[0].end() :].strip()
    return (condition, consequence) if condition and consequence else None
