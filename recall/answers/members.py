"""Sets: members in any order, each an answer of its own; and what is recited, word for word."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any, ClassVar

from recall.answers.model import Answer, Lore, Verdict, again
from recall.answers.number import NumberAnswer
from recall.base import regex as re
from recall.base.dataclass import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class MembersAnswer(Answer):
    """rungs: its members where they are amounts with their times (a ladder), in the order of the texts; amounts in
    words among them (`take-off power`) are texts."""

    form: ClassVar[str] = "set"
    rungs: tuple[NumberAnswer | str, ...] = ()

    @property
    def several(self) -> bool:
        """A line a member; how many there are isn't told."""
        return True

    def data(self) -> Mapping[str, Any]:
        """The rungs, by their texts; whether they come in order."""
        ordered = {"ordered": True} if self.ordered else {}
        if not self.rungs:
            return ordered
        rungs = (rung.data() if isinstance(rung, NumberAnswer) else {"words": rung} for rung in self.rungs)
        return {"numbers": dict(zip(self.texts, rungs, strict=True))} | ordered

    def judge(self, given: str, lore: Lore) -> Verdict:
        """Members parted by commas, semicolons, line ends, `and`, strokes, bullets or numbers; one may hold those."""
        found, added = self._read(given, lore)
        amounts = self.rungs and all(isinstance(one, NumberAnswer) for one in self.rungs)
        if amounts and not found and not re.search(r"\d", given):
            return again("there is no number in that")
        return self.verdict(found, added)

    def verdict(self, found: Sequence[int], added: tuple[str, ...]) -> Verdict:
        """Of the members found, in the order typed, and of what is none."""
        left = tuple(text for at, text in enumerate(self.texts) if at not in found)
        moved = self.ordered and list(found) != sorted(found)
        if not left and not added and not moved:
            return Verdict(True)
        said = " and ".join(
            f"{len(some)} {what}" for some, what in ((left, "left out"), (added, "too many")) if some
        )
        if moved:
            said = f"{said}; the rest in another order" if said else "all there, in another order"
        return Verdict(False, said, left_out=left, added=added)

    def _read(self, given: str, lore: Lore) -> tuple[list[int], tuple[str, ...]]:
        """The members found, in the order typed, and what is none: in pieces, or in runs, whichever leaves least."""
        from recall.answers.listed import (  # with the first that is typed
            each_written,
            in_runs,
            listed,
            members_in,
        )

        given = each_written(given, self.texts)

        def find(text: str, among: Collection[int]) -> list[int]:
            slips = {at: self._slips(at, text, lore) for at in among}
            return sorted((at for at in among if slips[at] is not None), key=lambda at: len(slips[at] or ()))

        pieces = members_in(listed(given), self.texts, find, bool(self.rungs))
        if self.rungs:
            return pieces
        runs = in_runs(given, self.texts, lore, exact=False)
        return min((pieces, runs), key=lambda way: (len(self.texts) - len(set(way[0])), len(way[1])))

    def _slips(self, at: int, text: str, lore: Lore) -> tuple[str, ...] | None:
        """The slips, where a text is the member; None where it isn't."""
        from recall.answers.words import compare

        rung = self.rungs[at] if self.rungs else self.texts[at]
        if isinstance(rung, NumberAnswer):
            if re.search(r"(?:^|: )maximum\b", lore.prompt, re.I):
                text = re.sub(r"^(?:max(?:imum)?\.?|up to)\s+", "", text, flags=re.I)
            return () if rung.mark(text).right else None
        return compare(text, rung, lore)


@dataclass(frozen=True, slots=True, kw_only=True)
class RecitalAnswer(MembersAnswer):
    """Words to recite, in order: only case, blanks, punctuation, articles, numbering, and another notation of an
    amount are forgiven."""

    form: ClassVar[str] = "exact"
    ordered: bool = field(default=True, kw_only=True)

    @property
    def several(self) -> bool:
        """A line a step."""
        return len(self.texts) > 1

    def data(self) -> Mapping[str, Any]:
        """Nothing more."""
        return {}

    def judge(self, given: str, lore: Lore) -> Verdict:
        """Word for word. Of several steps, those left out are named."""
        from recall.answers.apart import word_by_word
        from recall.answers.listed import in_runs, listed
        from recall.answers.words import compare

        wanted = " ".join(self.texts)
        if any(
            compare(one, wanted, lore, exact=True) is not None for one in (given, listed(given, self.texts))
        ):
            return Verdict(True)
        found, added = in_runs(given, self.texts, lore, exact=True)
        return (
            self.verdict(found, added)
            if found
            else Verdict(False, "the words differ", word_by_word(given, wanted))
        )
