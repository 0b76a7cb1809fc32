"""What becomes of each card of a deck from one revision to the next. Pure computation."""

from collections.abc import Mapping, Sequence

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
                state.paused = True
                continue
        gone.append(card)
    come = [card for card in listed if card not in states or not states[card].present]
    carried = {card: _source(card, carried, gone) for card in come if card in carried}
    follows = followed(states, listed, gone, come, look, carried, renamed=renamed, again=again)
    step.renamed = {
        sources[0]: card for card, sources in follows.items() if sources and carried.get(card) == sources[0]
    }
    if again.otherwise or again.same_notes:
        step.read = read_otherwise(states, lists.cards, gone, come, again)
    for rank, entry in enumerate(lists.cards):
        _take(states, load, entry, rank, follows.get(entry.id, ()), step, again)
    for card, sources in follows.items():
        for source in sources:
            if renamed or again.stays(states[source], listed[card], listed=source in gone):
                states[source].moved = True
                step.links.append((source, load.place, card))
                if source in gone:
                    step.moved[source] = card
    for card in gone:
        states[card].present = False
        states[card].paused = False
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


def _take(
    states: dict[str, CardState],
    load: Loaded,
    entry: Listed,
    rank: int,
    sources: Sequence[str],
    step: Step,
    again: Again,
) -> None:
    own = states.get(entry.id)
    if own is None and not sources:
        answers = frozenset((entry.answer, *entry.also))
        states[entry.id] = CardState(
            entry.answer, entry.text, entry.row, rank, entry.source, entry.also, answers
        )
        step.new.add(entry.id)
        return
    if own is not None and own.moved:
        own = None
    here = own is not None and own.present and not sources
    if own is not None and here and again.stays(own, entry, listed=not own.paused):
        own.same |= {entry.answer, *entry.also}
        own.answer, own.text, own.row, own.rank = entry.answer, entry.text, entry.row, rank
        own.source, own.also, own.paused = entry.source, entry.also, False
        return
    before = [state for state in (own, *(states[source] for source in sources)) if state is not None]
    same = [state for state in before if again.stays(state, entry, listed=state.present and not state.paused)]
    after = CardState(entry.answer, entry.text, entry.row, rank, entry.source, entry.also)
    after.same = frozenset((entry.answer, *entry.also)).union(*(state.same for state in same))
    if same:
        latest = max(same, key=lambda state: state.epoch or "")
        after.epoch, after.was = latest.epoch, latest.was
        after.since, after.renewed = latest.since, latest.renewed
    elif before:
        after.was, after.since = before[0].text, load.revision
        after.renewed = load.in_force
        after.epoch = load.place
    if (own is None or not own.present) and not sources:
        (step.back if own is not None else step.new).add(entry.id)
    if before and not same:
        step.changed.add(entry.id)
    states[entry.id] = after
