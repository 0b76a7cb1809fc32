"""Answers in words: a phrase, a term whose case may count, and prose."""

from collections.abc import Mapping
from typing import Any, ClassVar

from recall.answers.model import Answer, Lore, Verdict
from recall.base import regex as re
from recall.base.dataclass import dataclass
from recall.base.text import key_form, one_line


@dataclass(frozen=True, slots=True, kw_only=True)
class WordsAnswer(Answer):
    """also: other phrases that are right."""

    form: ClassVar[str] = "words"
    also: tuple[str, ...] = ()

    @property
    def choice(self) -> bool:
        """One phrase is."""
        return len(self.texts) == 1

    @property
    def key(self) -> str:
        """Its words."""
        return key_form(self.text)

    def data(self) -> Mapping[str, Any]:
        """The other phrases."""
        return {"also": list(self.also)} if self.also else {}

    def judge(self, given: str, lore: Lore) -> Verdict:
        """Each word must be there; slips are forgiven and named."""
        from recall.answers.apart import why_not, word_by_word  # with the first that is typed
        from recall.answers.words import compare

        right = self.texts[0]
        for one in (right, *self.also):
            slips = compare(given, one, lore)
            if slips is not None:
                return Verdict(True, note=f"spelt {', '.join(slips)}" if slips else "")
        return Verdict(False, why_not(given, right), word_by_word(given, right))


@dataclass(frozen=True, slots=True, kw_only=True)
class TermAnswer(WordsAnswer):
    """An abbreviation. others: terms of the deck that differ from it in case alone (`Vc`, `vC`)."""

    form: ClassVar[str] = "term"
    others: tuple[str, ...] = ()

    @property
    def key(self) -> str:
        """None: terms a letter apart are told apart by their look."""
        return ""

    def data(self) -> Mapping[str, Any]:
        """The others."""
        return {"not": list(self.others)} if self.others else {}

    def judge(self, given: str, lore: Lore) -> Verdict:
        """Letter by letter, whatever the case, dots and blanks; unless it is another of the deck as it is written."""
        from recall.answers.alike import forgiven_slip
        from recall.answers.apart import word_by_word

        typed, right = one_line(given), self.texts[0]
        if typed != right and (typed in self.others or typed in lore.short):
            return Verdict(False, f"`{typed}` is another one of this deck", word_by_word(typed, right))
        if any(_letters(typed) == _letters(one) for one in (right, *self.also)):
            return Verdict(True)
        if not right.isupper() and forgiven_slip(typed.casefold(), right.casefold(), lore.knows):
            return Verdict(True, note=f"spelt {right}")  # a word of its own
        return Verdict(False, "the letters differ", word_by_word(typed, right))


@dataclass(frozen=True, slots=True, kw_only=True)
class ProseAnswer(Answer):
    """Prose: revealed, and marked by the person."""

    form: ClassVar[str] = "prose"
    typed: ClassVar[bool] = False

    @property
    def choice(self) -> bool:
        """One text is."""
        return len(self.texts) == 1

    def judge(self, given: str, lore: Lore) -> Verdict:
        """The person decides."""
        return Verdict(None)


def _letters(text: str) -> str:
    bare = re.sub(r"^(?:the|an?)\s+(?=\S\S)", "", text.casefold())
    return "".join(re.findall(r"\w", bare)) or bare
