"""Readings of an instrument, drawn afresh: a number near a mark of its scale, and what a crew member says of it."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, Any, ClassVar

from recall.answers.data import unit_named
from recall.answers.model import Answer, Drawn, Lore, Verdict, again
from recall.base.dataclass import dataclass, replace
from recall.base.text import word_set, words_of
from recall.quantity import Number, Span, shown

if TYPE_CHECKING:
    from random import Random

NEAR = Decimal("0.05")
"""A reading lies within this share of the mark, or within a few steps of it."""
FEW = 3
FEWEST = 3
"""Fewer things to say would be tossed for."""
NORMAL = "normal"
_SIDES = (
    frozenset(("below", "under", "low", "lower", "less", "minimum", "shorter")),
    frozenset(
        ("above", "over", "high", "higher", "more", "maximum", "exceeds", "exceeded", "exceeding", "longer")
    ),
    frozenset(("forward", "ahead", "before", "front")),
    frozenset(("aft", "behind", "rear")),
    frozenset(("within", "inside", "normal")),
    frozenset(("within", "inside", "allowed")),
)
"""Words that mean the same of a reading."""
_OUT = frozenset(("outside", "beyond", "out"))
_FILLERS = word_set("it it's is its the a in of than limit limits range too tolerance")


@dataclass(frozen=True, slots=True)
class Band:
    """A stretch of the scale and what is said of it; an end that is absent is open, one that is left out isn't in
    it."""

    says: str
    low: Decimal | None
    high: Decimal | None
    low_open: bool = False
    high_open: bool = False

    @property
    def ends(self) -> list[Decimal]:
        """The ends that are there."""
        return [end for end in (self.low, self.high) if end is not None]

    def holds(self, number: Decimal) -> bool:
        """Whether a number lies in it."""
        over = self.low is None or number > self.low or (number == self.low and not self.low_open)
        return over and (
            self.high is None or number < self.high or (number == self.high and not self.high_open)
        )


@dataclass(frozen=True, slots=True)
class Scale:
    """What a reading is compared with: the limits themselves, and the bands inside them, the gravest first."""

    what: str
    limits: Band
    bands: tuple[Band, ...] = ()
    ends: tuple[str, ...] = ()
    """What its two limits are called, where they aren't the lowest and the highest: forward, aft."""

    @classmethod
    def of(cls, facts: Mapping[str, Any]) -> "Scale":
        """The scale that an answer holds; one of an older version has no bands, and no names of its ends."""

        def end(text: str | None) -> Decimal | None:
            return None if text is None else Decimal(text)

        limits = (end(facts["low"]), end(facts["high"]), facts["low_open"], facts["high_open"])
        named = facts.get("bands", ())
        bands = tuple(Band(says, end(low), end(high), *open_) for says, low, high, *open_ in named)
        within = f"within its {facts['what']}"
        if bands:
            within = "allowed but not normal" if NORMAL in [band.says for band in bands] else NORMAL
        return cls(facts["what"], Band(within, *limits), bands, tuple(facts.get("ends", ())))

    def names(self) -> tuple[str, str]:
        """What its two ends are called."""
        if self.ends:
            return f"its {self.ends[0]} limit", f"its {self.ends[1]} limit"
        return ("its minimum", "its maximum") if self.what == "limits" else (f"its {self.what}",) * 2

    def says(self, number: Decimal) -> str:
        """What is said of a number."""
        limits, (least, most) = self.limits, self.names()
        if not limits.holds(number):
            before, behind = (f"{end} of" for end in self.ends) if self.ends else ("below", "above")
            below = limits.low is not None and number <= limits.low
            return f"{before} {least}" if below else f"{behind} {most}"
        return next((band.says for band in self.bands if band.holds(number)), limits.says)

    def stretches(self, *, signed: bool) -> list[tuple[str, Decimal, Decimal]]:
        """The stretches between its marks, from the lowest: what is said of each, and its ends, of which the outer
        ones are no marks. signed: readings may be negative."""
        marks = sorted({end for band in (self.limits, *self.bands) for end in band.ends})
        if not signed:
            marks = [Decimal(0), *(mark for mark in marks if mark > 0)]
        far = max(abs(marks[0]), abs(marks[-1])) or Decimal(1)
        edges = [*([marks[0] - far] if signed else []), *marks, marks[-1] + far]
        return [(self.says((low + high) / 2), low, high) for low, high in pairwise(edges)]


def draw(scale: Scale, step: Decimal, signed: bool, rng: "Random") -> Decimal:
    """A number of whole steps from a mark and near it, each thing to say as likely as another. signed: it may be
    negative."""
    stretches = scale.stretches(signed=signed)
    wanted = rng.choice(list(dict.fromkeys(says for says, _, _ in stretches)))
    _, low, high = rng.choice([one for one in stretches if one[0] == wanted])
    first, last = signed and low == stretches[0][1], high == stretches[-1][2]
    mark = low if last else high if first or not (low or signed) else rng.choice((low, high))
    room = None if first or last else high - low
    while room is not None and room < 2 * step:
        step /= 10
    most = max(FEW, int(abs(mark) * NEAR / step))
    if room is not None:
        most = min(most, max(1, int((room - step / 2) / step)))
    return mark + rng.randint(1, most) * step * (1 if mark == low else -1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingAnswer(Answer):
    """What is said of a reading. facts: what is drawn: `what` (limits, tolerance, normal range), `low` and `high`
    with `low_open` and `high_open`, `ends` where they have names, `bands` inside them (what is said, both ends, which
    are left out), `unit`, `step`, `signed`, `held` (what stands in brackets). texts: what is right, once drawn."""

    form: ClassVar[str] = "reading"
    drawn: ClassVar[bool] = True
    facts: Mapping[str, Any]

    def data(self) -> Mapping[str, Any]:
        """What is drawn."""
        return self.facts

    def outcomes(self) -> list[str]:
        """All that may have to be said, from the lowest."""
        stretches = Scale.of(self.facts).stretches(signed=self.facts["signed"])
        return list(dict.fromkeys(says for says, _, _ in stretches))

    @property
    def choices(self) -> Sequence[str]:
        """All that may have to be said, from the lowest."""
        return self.outcomes()

    def draw(self, rng: "Random") -> Drawn:
        """A fresh reading."""
        facts, scale = self.facts, Scale.of(self.facts)
        number = draw(scale, Decimal(facts["step"]), facts["signed"], rng)
        says = scale.says(number)
        reads = _shown(number, facts["unit"])
        why = _why(scale, number, facts["unit"])
        return Drawn(reads, replace(self, texts=(says,)), why, self.asks(), facts["held"])

    def asks(self, outcomes: Sequence[str] = ()) -> str:
        """What may be said, as the end of a question. outcomes: where they are known already."""
        *most, last = outcomes or self.outcomes()
        if self.facts["what"] != "limits":
            most = [says.partition(" ")[0] for says in most]  # all of one range
        return f"{', '.join(most)} or {last}?"

    def judge(self, given: str, lore: Lore) -> Verdict:
        """What is said, by its telling words, whole or as they begin; a side must be named where it is beyond."""
        said = _said(given)
        fillers = _FILLERS if self.facts["what"] == "limits" else _FILLERS | set(words_of(self.facts["what"]))
        words = [word for word in said if word not in fillers] or said
        words = [word for word in words if word not in _OUT] or words
        words = ["within"] if words == said and {"in", "within"} & {*said} else words
        options = {says: set(_said(says)) - fillers for says in self.outcomes()}
        found = {says for says, own in options.items() if own == set(words)}
        found = found or {says for says, own in options.items() if all(_means(word, own) for word in words)}
        if len(found) != 1:
            return again(f"say which: {self.asks().rstrip('?')}")
        right = found == set(self.texts)
        return Verdict(right, "" if right else f"it is {self.texts[0]}")


def _said(text: str) -> list[str]:
    """The words of a text, a negation and what it denies as one."""
    from recall.answers.vocabulary import NEGATIONS  # not needed to read notes

    words: list[str] = []
    for word in words_of(text):
        if words and words[-1] in NEGATIONS:
            words[-1] += f" {word}"
        else:
            words.append(word)
    return words


def _means(word: str, own: set[str]) -> bool:
    """Whether a typed word, or what begins with it, says what these words say."""
    same = own.union(*(side for side in _SIDES if not own.isdisjoint(side)))
    return any(each.startswith(word) for each in same)


def _shown(number: Decimal, unit: str) -> str:
    return shown(Span(value=Number(number, f"{number:,f}"), unit=unit_named(unit)))


def _marks(scale: Scale) -> Iterator[tuple[Decimal, str]]:
    """Each mark with its name."""
    for end, name in zip((scale.limits.low, scale.limits.high), scale.names(), strict=True):
        if end is not None:
            yield end, name
    yield from ((end, band.says) for band in scale.bands for end in band.ends)


def _why(scale: Scale, number: Decimal, unit: str) -> str:
    """Why a reading is what it is, by the nearest mark alone."""
    end, name = min(_marks(scale), key=lambda mark: abs(mark[0] - number))
    says, at = scale.says(number), _shown(end, unit)
    if says.endswith(name):
        return (
            f"{_shown(number, unit)} is {says} of {at}."
            if says != name
            else f"{_shown(number, unit)} is {says}, from {at}."
        )
    return f"{_shown(number, unit)} is {says}: {name} {'is' if name.startswith('its') else 'begins at'} {at}."
