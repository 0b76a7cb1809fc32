"""`recall weak`: topics by how likely a miss is."""

from typing import TYPE_CHECKING, Annotated

from recall.base.text import count, fields_of, percent
from recall.cli.options import JsonOption, StoreOption, no_store_yet, option, stored, whole
from recall.cli.output import json_line, say, table

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from recall.insight.told import TopicRow
    from recall.insight.weak import TopicRecord
    from recall.store import Store


ENOUGH_MARKS = 10
"""From so many marks of each on, a person's own and an examiner's are compared."""


def weak(
    most: Annotated[
        int | None,
        option(
            "--most TOPICS", "How many topics to show; 20, or all of them with --json.", whole("topics", 1)
        ),
    ] = None,
    claims: Annotated[
        bool, option("--claims", "Answers claimed to be right instead, for whoever writes the notes.")
    ] = False,
    json: JsonOption = False,
    store: StoreOption = None,
) -> None:
    """Show which topics are most likely missed, by system.

    Example: recall weak --most 5
    """
    from recall.insight.known import tomorrow_morning, topics_of
    from recall.insight.told import moment_told
    from recall.store.answers import marked_by_both

    if no_store_yet(store, json):
        return
    with stored(store) as opened:
        if claims:
            _claims(opened, json=json)
            return
        topics, moment, marks = topics_of(opened), tomorrow_morning(opened), marked_by_both(opened)
    if json:
        for one in topics[:most]:
            json_line(fields_of(one, "topic", "cards", "asked", "recall", "accuracy", "low", "high"))
        return
    if not any(one.answers for one in topics):
        say("Nothing has been asked yet, so no topic is weak.")
        return
    _show(topics, most or 20)
    say(moment_told(moment))
    if len(marks) == 2 and all(of >= ENOUGH_MARKS for _, of in marks.values()):
        say(_compared(marks))


def _show(topics: "Sequence[TopicRecord]", most: int) -> None:
    """Systems with their topics under them; those of which little is known behind the others."""
    from recall.insight.told import little_told, topic_rows

    heads = ("system, topic", "asked", "unasked", "right", "95 % interval", "recall")
    table(map(_row, topic_rows(topics, most)), heads, right=(1, 2, 3, 4, 5))
    asked = sum(bool(one.answers) for one in topics)
    if asked > most:
        say(f"and {count(asked - most, 'more topic')}: --most {asked}")
    for sentence in little_told(topics):
        say(sentence)


def _row(row: "TopicRow") -> tuple[str, ...]:
    """Shares only where enough is known; else the counts alone."""
    one, name = row.record, row.name if row.system else f"  {row.name}"
    told = ("little known", "")
    if row.known and one.recall is not None:
        told = (f"{percent(one.low)} to {percent(one.high)}", percent(one.recall))
    return name, str(one.asked), str(one.cards - one.asked), f"{one.right} of {one.answers}", *told


def _compared(marks: "Mapping[str, tuple[int, int]]") -> str:
    """A person's own marks beside an examiner's on the same cards."""
    from recall.insight.rates import wilson

    def told(who: str) -> str:
        right, of = marks[who]
        low, high = wilson(right, of)
        return f"{right} of {of} right ({percent(low)} to {percent(high)})"

    own, other = wilson(*marks["self"]), wilson(*marks["examiner"])
    kinder = " You mark yourself kinder than an examiner does." if own[0] > other[1] else ""
    both = f"{told('self')} by you, {told('examiner')} by the examiner"
    return f"Cards marked by you and by an examiner: {both}.{kinder}"


def _claims(store: "Store", *, json: bool) -> None:
    """Each claim with the question, its answer and its place."""
    from recall.store.answers import claims

    found = [(claim, store.card(claim.card)) for claim in claims(store)]
    for claim, card in found:
        if json:
            told = {"date": claim.day, "id": card.id, "prompt": card.prompt, "given": claim.given}
            json_line({**told, "answer": card.answer.texts, **fields_of(card, "critical", "file", "line")})
            continue
        say(f"{card.file}:{card.line}: {card.prompt}")
        say(f"answer: {card.answer.text}", "    ")
        say(f"claimed on {claim.day}: {claim.given}", "    ")
    if not found and not json:
        say("No answer was claimed to be right.")
