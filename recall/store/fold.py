"""What becomes of each card of a deck from one revision to the next. Pure computation."""

from collections.abc import Mapping, Sequence
from typing import Any

from recall.store.follow import Look, followed, read_otherwise
from recall.store.revisions import Again, CardState, Listed, Load, Loaded, Step


def fold(
    states: dict[str, CardState],
    load: Loaded,
    lists: Load,
    look: Look,
    carried: Mapping[str, str],
    *,
    renamed: bool = False,
    again: Again = Again(),  # noqa: B008
) -> Step:
    """Take the states of all cards of a line on to the next revision, in place.

    lists: what the load lists; carried: new id to old id, as the person accepted; renamed: the revision before was
    under another slug; again: how it was read against that one.
    """
    step = Step(before=sum(state.present for state in states.values()))
    listed = {entry.id: entry for entry in lists.cards}
    gone = []
    for card, state in states.items():
        if not state.present or card in listed:
            continue
        if not renamed and (lists.paused_points or lists.paused_files):
            face = look(state.text)
            if face.point in lists.paused_points or face.file in lists.paused_files:
                states[card] = state._replace(paused=1)
                continue
        gone.append(card)
    come = [card for card in listed if card not in states or not states[card].present]
    carried = {card: _source(card, carried, gone) for card in come if card in carried}
    follows: dict[str, tuple[str, ...]] = {}
    if gone or carried:
        follows = followed(states, listed, gone, come, look, carried, renamed=renamed, again=again)
    step.renamed = {
        sources[0]: card for card, sources in follows.items() if sources and carried.get(card) == sources[0]
    }
    if again.otherwise or again.same_notes:
        step.read = read_otherwise(states, lists.cards, gone, come, again)
    for rank, entry in enumerate(lists.cards):
        card, answer, text, row, source, also = entry
        now = (answer, text, row, rank, source, " ".join(also) if also else "")
        own, sources = states.get(card), follows.get(card, ())
        if own is None and not sources:
            states[card] = CardState(*now, _others(entry.answers, answer) if also else "")
            step.new.add(card)
        elif own is None or sources or own[: len(now)] != now or not own.asked:
            states[card] = _taken(states, load, entry, now, sources, step, again)
    for card, sources in follows.items():
        for source in sources:
            if renamed or again.stays(states[source], listed[card], listed=source in gone):
                states[source] = states[source]._replace(moved=1)
                step.links.append((source, load.place, card))
                if source in gone:
                    step.moved[source] = card
    for card in gone:
        states[card] = states[card]._replace(present=0, paused=0)
    step.gone = set(gone) - set(step.moved)
    return step


def _source(card: str, carried: Mapping[str, str], gone: Sequence[str]) -> str:
    """What a card goes on from: over names of revisions that were skipped, to the one that goes now."""
    first, seen = carried[card], {card}
    source: str | None = first
    while source is not None and source not in gone and source not in seen:
        seen.add(source)
        source = carried.get(source)
    return source if source is not None and source in gone else first


def _taken(
    states: Mapping[str, CardState],
    load: Loaded,
    entry: Listed,
    now: tuple[str, str, int, int, str, str],
    sources: Sequence[str],
    step: Step,
    again: Again,
) -> CardState:
    """A card that was there before, or goes on from others. now: the first fields of its state."""
    own = states.get(entry.id)
    if own is not None and own.moved:
        own = None
    if own is not None and own.present and not sources and again.stays(own, entry, listed=not own.paused):
        return CardState(*now, _others(entry.answers | own.ever, entry.answer), 1, 0, *own.life)
    before = [state for state in (own, *(states[source] for source in sources)) if state is not None]
    same = [
        state
        for state in before
        if again.stays(state, entry, listed=bool(state.present and not state.paused))
    ]
    life: Sequence[Any] = ()
    if same:
        life = max(same, key=lambda state: state.epoch or "").life
    elif before:
        life = (load.place, before[0].text, load.revision, load.in_force)
    if (own is None or not own.present) and not sources:
        (step.back if own is not None else step.new).add(entry.id)
    if before and not same:
        step.changed.add(entry.id)
    answers = entry.answers.union(*(state.ever for state in same))
    return CardState(*now, _others(answers, entry.answer), 1, 0, *life)


def _others(answers: set[str], answer: str) -> str:
    return " ".join(sorted(answers - {answer}))
