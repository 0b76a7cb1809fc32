"""What is said of an answer, as sentences with a role: the same words behind every front end."""

from collections.abc import Iterator, Sequence
from itertools import groupby

from recall.answers import NOT_KNOWN
from recall.base.text import one_line, words_of
from recall.kinds.model import Card
from recall.session.model import Kept, Was
from recall.session.view import ACTIONS, Line, Put, Role


def put(card: Card) -> Put:
    """What is shown of a question that is put."""
    typed = card.answer.typed
    must, topic = typed or card.critical, card.topic or (card.deck,)
    several, choices = typed and card.answer.several, tuple(card.answer.choices)
    return Put(topic, card.prompt, card.critical, card.applies, typed, several, must, choices)


def begun(topic: str, rules: Sequence[str]) -> Iterator[Line]:
    """By which rules an oral goes; that a topic is begun, where one is."""
    if rules:
        yield Line("note", f"Mock oral: {' '.join(rules)}")
    if topic:
        yield Line("note", f"Nothing of {topic} was asked yet. Its page of the sheet may be shown first.")


def empty(card: Card) -> Iterator[Line]:
    """That nothing was typed where something is due."""
    said = (
        "Nothing was typed, so nothing is kept."
        if card.answer.typed
        else "A critical point: type what you would say."
    )
    yield Line("note", f"{said} Nothing once more means that you don't know it.")


def outcome(kept: Kept, remark: str, others: Sequence[Card]) -> Iterator[Line]:
    """Whether it was right, what differs, the right answer, why, and where it stands. others: cards that what was
    given is the answer to."""
    card, verdict = kept.card, kept.verdict
    bad: Role = "warning" if card.critical else "wrong"
    if verdict.right is None:
        yield from marked(kept)
        return
    if verdict.right:
        yield Line("right", f"Right ({verdict.note})." if verdict.note else "Right.")
    else:
        said = "Wrong, on a critical point" if card.critical else "Not right"
        yield Line(bad, f"{said}: {verdict.why}." if verdict.why else f"{said}.")
        if verdict.why != NOT_KNOWN:
            yield _typed(kept.given)
        yield from _differences(kept)
    yield from answer(card, verdict.left_out)
    yield from _since(kept.card, kept.was)
    yield from (Line("about", f"That is the answer to: {one_line(other.prompt)}") for other in others)
    yield from about(card, remark)
    yield from marked(kept)


def marked(kept: Kept) -> Iterator[Line]:
    """The mark that is kept, and whether the card comes back."""
    back = " It comes back before the end." if kept.returns else ""
    if kept.claimed:
        counts = (
            "; a critical point stays missed all the same"
            if kept.card.critical
            else f" and counts as right, marked {kept.mark}"
        )
        yield Line("mark", f"Kept as claimed{counts}.{back}")
    elif kept.talked_up and kept.card.critical:
        yield Line("mark", f"Marked {kept.mark}: a critical point is given no more than that.{back}")
    else:
        yield Line("mark", f"Marked {kept.mark}.{back}")


def missed_often(kept: Kept) -> Iterator[Line]:
    """That a card is missed again and again, once, where something may help."""
    if kept.helps:
        named = ", ".join(ACTIONS[one].label for one in kept.helps)
        yield Line("caution", f"Missed on four days now. What may help: {named}.")


def beside(card: Card, other: Card) -> Iterator[Line]:
    """Two that are taken for each other, and the words in which they differ."""
    for one, two in ((card, other), (other, card)):
        own, theirs = (words_of(f"{each.subject} {each.answer.text}") for each in (one, two))
        yield Line("head", one_line(one.prompt))
        yield from answer(one)
        if apart := [word for word in dict.fromkeys(own) if word not in theirs]:
            yield Line("about", f"only here: {', '.join(apart)}")
        yield Line("place", place(one))


def _typed(given: str) -> Line:
    """What was typed, as it was typed, its lines under each other."""
    lead = "You typed: "
    return Line("typed", lead + given.replace("\n", "\n" + " " * len(lead)))


def _since(card: Card, was: Was | None) -> Iterator[Line]:
    """What the answer was before the revision that changed it."""
    if was is not None:
        since = f" since revision {was.revision}" if was.revision else ""
        yield Line("caution", f"was {'; '.join(was.answer)}, now {card.answer.text}{since}")
        if was.same_as_given:
            yield Line("caution", "You gave the old value.")


def _differences(kept: Kept) -> Iterator[Line]:
    verdict = kept.verdict
    if verdict.parts and kept.given:
        runs = groupby(verdict.parts, key=lambda part: part[0])
        parts = tuple((what, " ".join(word for _, word in run)) for what, run in runs)
        told = (words if what == "kept" else f"[{what}: {words}]" for what, words in parts)
        yield Line("about", " ".join(told), parts)
    if len(verdict.left_out) < len(kept.card.answer.texts):  # else what was typed says it
        yield from (Line("about", f"added: {member}") for member in verdict.added)


def answer(card: Card, left_out: Sequence[str] = ()) -> Iterator[Line]:
    """The right answer; members that were left out are named as such, unless all were."""
    texts = card.answer.texts
    if len(texts) == 1:
        yield Line("answer", texts[0])
        return
    some = 0 < len(left_out) < len(texts)
    for number, text in enumerate(texts, 1):
        lead = f"{number}. " if card.answer.ordered else "- "
        missing = some and text in left_out
        yield Line("left out", f"{lead}{text}  (left out)") if missing else Line("answer", lead + text)


def about(card: Card, remark: str = "") -> Iterator[Line]:
    """The why, other columns, the student's own remark, the citation with file and line."""
    if card.why:
        yield Line("about", f"Why: {card.why}")
    for header, text in card.extra:
        yield Line("about", f"{header}: {text}")
    if remark:
        yield Line("about", f"Your remark: {remark}")
    yield Line("place", place(card))


def place(card: Card) -> str:
    """Citation, file and line."""
    return (f"{card.cite}; " if card.cite else "") + f"{card.file} line {card.line}"


def revealed(card: Card, given: str, was: Was | None, remark: str, *, own: bool) -> Iterator[Line]:
    """An answer that a person marks, beside what was given. own: the person who gave it is told."""
    if own and given:
        yield _typed(given)
        from recall.session.prose import compared  # with an answer

        seen = compared(given, card.answer.texts, card.prompt)
        yield from (Line("caution", f"{said}.") for said in seen.other)
        if not seen.shared and not seen.other:
            yield Line("caution", "It shares no word that matters with the answer.")
        elif seen.missing:
            yield Line("caution", f"Not in it: {', '.join(seen.missing)}")
    yield from answer(card)
    yield from _since(card, was)
    yield from about(card, remark)


def amiss(given: str, card: Card) -> bool:
    """Whether something was given that shares nothing that matters with the answer, or says another amount."""
    if not given:
        return False
    from recall.session.prose import compared

    seen = compared(given, card.answer.texts, card.prompt)
    return bool(seen.other) or not seen.shared


def source(card: Card, lines: Sequence[tuple[int, str]] | None) -> Iterator[Line]:
    """Where a card stands in its note, with the lines around it; None before the answer is given."""
    yield Line("head", place(card))
    for number, text in lines or ():
        yield Line("line", f"{'>' if number == card.line else ' '}{number:>5}  {text}")
    if lines is None:
        yield Line("note", "The note itself is shown once the answer is given.")
    elif not lines:
        yield Line("note", "The note itself isn't on this machine.")
