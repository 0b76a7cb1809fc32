"""Plain sentences: parting a text into them, whom a leading pronoun means, where a condition ends."""

from itertools import pairwise

from recall.base import regex as re
from recall.base.text import key_form, one_line
from recall.kinds.english import is_plural
from recall.kinds.model import Scope
from recall.kinds.prose.lexicon import BEFORE_NOUNS, DUMMY_WORDS, GENERAL, VERBS
from recall.notes.model import Text

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
_VERB_NEXT = re.any_case(
    r"\s+(?:is|are|was|were|has|have|had|does|do|can|cannot|can't|will|won't|must|should|only|automatically|also|ever|never"
    r"|\w{2,}(?<!s)s|\w+ed)\b"
)
_NUMBERING = re.any_case(
    r"^(?:\(?\d+(?:\.\d+)*[.)]?|[A-Z]\d*[.)]|(?:chapter|section|part|appendix)\s+\w+\s*[:.–—-]?)\s+"
)
_CLAUSE = re.any_case(r"\b(?:that|which|when|if|how|what|who|why|where)\b")
"""Words of headings that name no one thing."""
_DOING = re.any_case(r"\w{2,}ing (?:an?|the|from|after|to|with|without|in|on|at|before|no)\b|no\b")
"""Headings of what is done (`Restarting from a stop`), or of what there isn't."""
_DUMMY = re.any_case(
    r"it\s+(?:is|was|becomes?|gets?|seems|appears|happens|turns|takes|comes|makes|looks|does(?:n't| not)\s+matter)\s+"
    r"(?:not\s+|ever\s+|also\s+|too\s+|very\s+)*(?P<word>\w+)|it\s+(?:rains|snows|gets|happens)\b"
)
_TAKES = re.compile(rf"\w (?!(?:{'|'.join(sorted(BEFORE_NOUNS))})\b)[a-z]{{3,}}(?<!ing) (?:the|an?)\b")
_HEADED = re.compile(r"^[a-z]{2,}[^\Ws]s (?:the|an?|on|up|down|off|out|into|from|away|through) \w")
_PARTICLED = re.compile(r"\w [a-z]{2,}[^\Ws]s (?:up|down|off|out|over|away|apart|back)$")
_MAY_BELONG = re.any_case(
    r"^(?:when|if|while|unless|which|who|where|with|without|in|at|on|after|before|during|and|or|but|nor|for|as|due|because|e\.g|"
    r"i\.e|even|especially|including|such)\b|\b(?:or|and)\b"
)


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
    """The phrase with a leading pronoun replaced by the heading's subject; None where that can't be told.

    `This pump` means the heading's pump only where the heading names one.
    """
    found = _PRONOUN.match(phrase)
    if not found:
        return phrase
    heading = subject_of(scope.heading)
    rest = phrase[found.end() :]
    if not heading or _is_dummy(phrase):
        return None
    pronoun = found[1].casefold()
    if pronoun == "it" and re.match(r"\s+(?:happens|occurs)\b", rest) and has_verb(heading):
        return f"it{rest} ({heading})"
    if pronoun in ("it", "they"):
        several = pronoun == "it" and is_plural(heading.lower())
        none = several or has_verb(heading) or _CLAUSE.search(heading) or _DOING.match(heading)
        return None if none else heading + rest
    if pronoun in ("this", "these") and (not rest.strip() or _VERB_NEXT.match(rest)):
        return (
            None
            if re.match(r"\s+(?:happens|occurs|is (?:the case|so|done|not done|true))", rest)
            else heading + rest
        )
    last = key_form(heading).split()[-1]
    noun = rest.split()[0].casefold() if rest.split() else ""
    if pronoun in ("this", "these") and noun.rstrip("s") == last.rstrip("s"):
        return heading + rest[len(rest) - len(rest.lstrip()) + len(noun) :]
    return None


def _is_dummy(phrase: str) -> bool:
    """Whether a leading `it` stands for nothing: `it is necessary`, `it rains`."""
    found = _DUMMY.match(phrase)
    return found is not None and (found["word"] is None or found["word"].casefold() in DUMMY_WORDS)


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

    Sure is `X then Y`, a colon, a single comma, or several where the words between can't belong to the condition.
    """
    hidden = re.sub(r"\([^()]*\)|\d,\d", lambda held: "_" * len(held.group()), rest)
    thens = list(re.finditer(r",?\s+then\s+", hidden, re.IGNORECASE))
    commas = [found.start() for found in re.finditer(r",\s", hidden)]
    colon = hidden.find(": ")
    if colon > 0 and not any(at < colon for at in commas):
        at, after = colon, colon + 2
    elif len(thens) == 1 and all(at >= thens[0].start() for at in commas):
        at, after = thens[0].span()
    elif not commas or thens:
        return None
    else:
        between = [hidden[start + 1 : end].strip() for start, end in pairwise(commas)]
        if between and (
            not has_verb(hidden[: commas[0]])
            or any(_MAY_BELONG.search(piece) or len(piece.split()) < 2 for piece in between)
        ):
            return None
        at, after = commas[0], commas[0] + 2
    condition, consequence = rest[:at].strip(), rest[after:].strip()
    return (condition, consequence) if condition and consequence else None
