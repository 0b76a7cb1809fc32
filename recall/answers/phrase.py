"""Answers in words: a phrase, and a term whose case may count."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from recall.answers.model import NO_LORE, Answer, Lore, Verdict
from recall.answers.words import mark_words, word_by_word
from recall.base.text import key_form


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

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """Each word must be there; slips are forgiven and named."""
        verdicts = [mark_words(given, right, lore.knows) for right in (self.texts[0], *self.also)]
        right = next((verdict for verdict in verdicts if verdict.right), None)
        if right is not None:
            return Verdict(True, note=f"spelt {', '.join(right.slips)}" if right.slips else "")
        return Verdict(False, verdicts[0].why, verdicts[0].parts)


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

    def mark(self, given: str, lore: Lore = NO_LORE) -> Verdict:
        """As words are, but for another of the deck."""
        if given in self.others:
            return Verdict(
                False, f"`{given}` is another one of this deck", word_by_word(given, self.texts[0])
            )
        return WordsAnswer.mark(self, given, lore)
