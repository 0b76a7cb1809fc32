"""Sentences: one plain sentence or nothing; whom a leading pronoun means; where a condition ends."""

import re
from itertools import pairwise

from recall.base.text import key_form, one_line
from recall.kinds.lexicon import DUMMY_WORDS, GENERAL, VERBS
from recall.kinds.model import Scope
from recall.notes.model import Text

MOST_SIGNS = 400
_LABEL = re.compile(
    r"^(?:note|caution|warning|important|remember|nb|n\.b\.)\s*[:–—-]\s+(?=\w)", re.IGNORECASE
)
_TITLE = re.compile(
    r"(?:note|caution|warning|important|danger|attention|notice|tip|info)s?[.:!]?", re.IGNORECASE
)
_PERSON = re.compile(
    r"\b(?:you|your|yours|yourself|we|our|us|ours|i|i'm|i'll|my|me|please|let's|let us)\b", re.IGNORECASE
)
_NO_STOP = re.compile(
    r"\b(?:no|nos|approx|e\.g|i\.e|etc|vs|max|min|fig|sec|ref|para|ch|incl|excl|temp|alt|st|mr|dr|cf|resp|eng|gen)\.(?=\s)",
    re.IGNORECASE,
)
_STOP = re.compile(r"[.!?…]['\")\]]?\s+\S")
_PRONOUN = re.compile(r"(it|they|this|these|that|those)\b(?![-'’])", re.IGNORECASE)
_VERB_NEXT = re.compile(
    r"\s+(?:is|are|was|were|has|have|had|does|do|can|cannot|can't|will|won't|must|should|only|automatically|also|ever|never"
    r"|\w{2,}(?<!s)s|\w+ed)\b",
    re.IGNORECASE,
)
_NUMBERING = re.compile(
    r"^(?:\(?\d+(?:\.\d+)*[.)]?|[A-Z]\d*[.)]|(?:chapter|section|part|appendix)\s+\w+\s*[:.–—-]?)\s+",
    re.IGNORECASE,
)
_DUMMY = re.compile(
    r"it\s+(?:is|was|becomes?|gets?|seems|appears|happens|turns|takes|comes|makes|looks|does(?:n't| not)\s+matter)\s+"
    r"(?:not\s+|ever\s+|also\s+|too\s+|very\s+)*(?P<word>\w+)|it\s+(?:rains|snows|gets|happens)\b",
    re.IGNORECASE,
)
_POINTER = re.compile(r"\b(this|these|those|such|here)\b(?:\s+(\S+))?", re.IGNORECASE)
_POINTER_ALONE = re.compile(
    r"(?:is|are|was|were|has|have|had|does|do|did|can|cannot|will|may|must|should|in|on|to|by|at|for|\w+[^s]s)\b|$|[^\w\s]",
    re.IGNORECASE,
)
_BEHIND = re.compile(
    r",\s+(?:and|but|so|which|because|otherwise|then|or else|as|since|where|if|when)\b", re.IGNORECASE
)
_UNBALANCED = (("(", ")"), ("[", "]"), ("“", "”"))


def one_sentence(text: Text) -> str | None:
    """The text where it is one whole plain sentence, without its stop and a label such as `Note:`; otherwise None.

    None too for a question, a text that goes on below (`…:`), a line end inside, words to or of a person (`you`), a
    link, and open brackets.
    """
    if len(text.plain) > MOST_SIGNS or "\n" in text.plain.strip() or any(run.link for run in text.runs):
        return None
    plain = _LABEL.sub("", one_line(text.plain))
    if text.lead and text.lead.bold and _TITLE.fullmatch(title := one_line(text.lead.text)):
        # The title of a box, on its first line.
        rest = one_line(text.plain)[len(title) :].lstrip(" :–—-")
        plain = rest if rest[:1].isupper() else plain
    if (
        plain.endswith((":", ",", ";", "?", "…", ".."))
        or ";" in plain
        or plain.startswith(("[ ]", "[x]", "[X]"))
    ):
        return None
    if _STOP.search(_NO_STOP.sub(" ", plain)) or _PERSON.search(plain):
        return None
    if any(plain.count(left) != plain.count(right) for left, right in _UNBALANCED) or plain.count('"') % 2:
        return None
    return plain.rstrip(".!").rstrip() or None


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
    if pronoun in ("it", "they"):
        return heading + rest
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


def points_elsewhere(phrase: str) -> bool:
    """Whether words point at what was said before: `this valve`, `such values`, `here`. A lone `this` is the
    sentence's own."""
    found = _POINTER.finditer(phrase)
    return any(one[1].casefold() == "here" or not _POINTER_ALONE.match(one[2] or "") for one in found)


def runs_on(phrase: str) -> bool:
    """Whether another clause hangs on behind a comma: no answer is cut out of such a sentence."""
    return _BEHIND.search(phrase) is not None


def has_verb(phrase: str) -> bool:
    """Whether the words are a clause (`the pump fails`), as far as a list of common verbs can tell."""
    return any(word in VERBS for word in re.findall(r"[^\W\d_]+(?:['’]t)?", phrase.casefold())[1:])


def split_condition(rest: str) -> tuple[str, str] | None:
    """What stands behind If or When into condition and consequence; None where it isn't certain where the one ends.

    Sure is `X then Y`, a single comma, or several where the words between can't belong to the condition.
    """
    hidden = re.sub(r"\([^()]*\)|\d,\d", lambda held: "_" * len(held.group()), rest)
    thens = list(re.finditer(r",?\s+then\s+", hidden, re.IGNORECASE))
    commas = [found.start() for found in re.finditer(r",\s", hidden)]
    if len(thens) == 1 and all(at >= thens[0].start() for at in commas):
        at, after = thens[0].span()
    elif not commas or thens:
        return None
    elif len(commas) == 1:
        at, after = commas[0], commas[0] + 2
    else:
        first = hidden[: commas[0]]
        between = [hidden[start + 1 : end].strip() for start, end in pairwise(commas)]
        if not has_verb(first) or any(
            _MAY_BELONG.search(piece) or len(piece.split()) < 2 for piece in between
        ):
            return None
        at, after = commas[0], commas[0] + 2
    condition, consequence = rest[:at].strip(), rest[after:].strip()
    return (condition, consequence) if condition and consequence else None


_MAY_BELONG = re.compile(
    r"^(?:when|if|while|unless|which|who|where|with|without|in|at|on|after|before|during|and|or|but|nor|for|as|due|because|e\.g|"
    r"i\.e|even|especially|including|such)\b|\b(?:or|and)\b",
    re.IGNORECASE,
)
