"""What a sentence form is: a pattern, its kind, and where the sentence is cut in question and answer."""

from functools import cache
from typing import Literal

from recall.base import regex as re
from recall.base.dataclass import dataclass

Ask = Literal["gap", "name", "condition"]
"""How a sentence is asked. gap: the sentence with a gap where the answer stands, so that nothing of it is lost; name:
what follows from the thing it names; condition: what follows from a whole clause (`If the pump fails, …`)."""


@dataclass(frozen=True, slots=True)
class SentenceForm:
    """One way in which a plain sentence says something of a kind.

    pattern: matches the whole sentence; the groups are x (what it is about), y (what is asked) and maybe lead (the
    word between), all stretches of the sentence; or word and rest where a condition stands in front, or word, x and
    y where it stands behind. role: the field that y fills; said: the pattern, in which `{name}` stands for one of the
    word groups below.
    """

    kind: str
    role: str
    said: str
    ask: Ask = "gap"

    @property
    def pattern(self) -> re.Pattern[str]:
        """In any case of letters."""
        return _pattern(self.said)


@cache
def _pattern(said: str) -> re.Pattern[str]:
    return re.any_case(said.format_map(_GROUPS))


@dataclass(frozen=True, slots=True)
class Claim:
    """What a sentence says by a form. subject: what it is about; said: what is asked; stem, back: the sentence with a
    gap for what is asked, and for what it is about; word: `If` or `When` where the subject is a clause; more:
    sentences of the same bullet behind it, which belong to the answer."""

    form: SentenceForm
    subject: str
    said: str
    stem: str = ""
    back: str = ""
    word: str = ""
    lead: str = ""
    more: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Said:
    """What was read of a text; where nothing was, the kind whose form it has, and the doubt. words: of one sentence
    among others; cure: where it isn't the kind's own."""

    claims: tuple[Claim, ...] = ()
    near: str = ""
    doubt: str = ""
    words: str = ""
    cure: str = ""


def forms(kind: str, *said: tuple[str, str] | tuple[str, str, Ask]) -> tuple[SentenceForm, ...]:
    """The forms of a kind, in order. said: of each the role, its pattern, and how it is asked where that isn't by a
    gap."""
    return tuple(SentenceForm(kind, *one) for one in said)


_GROUPS = {
    "be": r"(?:is|are|stays?|remains?)",
    "blocked": r"(?:inhibited|blocked|locked(?: out)?|disabled|suppressed|cut out|held (?:closed|shut|open)|"
    r"prevented|refused|denied|rejected)",
    "barred": r"(?:(?:is|are) (?:not|never) (?:available|allowed|permitted|possible|usable|enabled|approved|active|"
    r"effective|authori[sz]ed)|(?:is|are) (?:unavailable|prohibited|forbidden)|(?:has|have) no effect)",
    "usable": r"(?:available|allowed|permitted|possible|usable|enabled|approved)",
    "while": r"(?:when|whenever|while|as long as|so long as|if)",
    "unless": r"(?:unless|until|without)",
    "not": r"(?:cannot|can not|can't|can’t|will not|won't|won’t|must not|mustn't|mustn’t|may not|shall not|"
    r"must never|may never|can never|does not|do not|doesn't|doesn’t|don't|don’t|never)",
    "none": r"(?:there (?:is|are) )?(?:no|neither)",
    "order": r"(?:do not|don't|don’t|never)",
    "once": r"(?:when|if|while|with|after|once|as long as)",
    "may": r"(?:may|can|must|is|are|shall|will)",
    "effect": r"(?:arms|cancels|clears|closes|cracks|cuts|damages|disarms|disconnects|drops|empties|floods|isolates|"
    r"lights|locks|lowers|opens|raises|releases|removes|resets|ruins|shuts|silences|starts|stops|switches|"
    r"trips|turns|unlocks|voids|warms|wipes)",
    "act": r"(?:(?<=s )(?:open|close|start|stop|trip|lock|unlock|fail|flash|freeze|burst)|fails|opens|closes|starts|"
    r"stops|trips|cuts (?:in|out|off)|locks|unlocks|sounds|flashes|lights|arms|disarms|engages|disengages|drops|"
    r"shuts(?: down)?|releases|reverts|resets|feathers|switches (?:on|off|over)|comes on|goes out|lifts|bursts|"
    r"freezes|boils|melts|(?:is|are) (?!(?:rat|limit|locat|bas|us|need|requir|expect|calibrat|suppli|recommend|"
    r"design|specifi|mount|plac)ed\b)(?:\w+ed|shut|cut|lost)(?: off| out| down)?)",
    "given": r"(?:(?:(?:hydraulic|air|oil|fuel|electrical|bleed|suction|line|system) )*"
    r"(?:pressure|power|flow|voltage|vacuum|current|clearance))",
    "must": r"(?:must|has to|have to|needs to|need to|shall)",
    "extreme": r"(?:max(?:imum)?|min(?:imum)?|limit)",
    "beyond": r"(?:exceed|be (?:more|less|higher|lower|greater) than|"
    r"(?:be|fall|drop|rise|go|get) (?:above|below|over|under))",
    "keep": r"(?:be|stay|remain)",
    "compared": r"(?:at least|at most|below|above|under|over|between|less than|more than|no more than|"
    r"not more than|within)",
    "at": r"(?:in|on|at|during|for|below|above|under|over|with|within|between|after|outside|inside|near|beyond|from)",
    "stands": r"(?:shut|open|closed|on|off|in|out|up|down|running|locked|unlocked|extended|retracted|engaged|armed|"
    r"empty|full|aboard|inside|attached|fitted|removed|set|latched|alive|connected)",
    "bound": r"(?:(?:below|above|beyond|during)\b|(?:fast|slow|high|low|deep|clos|long)e?r than (?=\d)|"
    r"(?:in |at |over |under |with |within |for |after )"
    r"(?:less than |more than |at least |under |over |above |below )?(?=[+\-−]?\d)"
    r"|with (?=.* (?:shut|open|closed|on|off|in|out|up|down|running|locked|unlocked|extended|retracted|engaged|armed|"
    r"empty|aboard|inside|attached|fitted|removed)$))",
}  # fmt: skip
"""Words that forms share. bound: begins words that set a bound, an amount among them."""
