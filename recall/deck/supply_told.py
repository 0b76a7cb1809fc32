"""What a failure comes to, in sentences: the same behind every front end."""

from collections.abc import Iterable, Sequence

from recall.deck.supply import Outcome
from recall.deck.supply_aircraft import Aircraft


def told(aircraft: Sequence[Aircraft], outcome: Outcome, *, several: bool) -> list[str]:
    """The sentences. aircraft: those for which it holds, none where the notes tell none apart; several: more than one
    thing failed."""
    head = f"{outcome.failed} {'are' if several else 'is'} dead and everything else is healthy."
    if aircraft:
        head = f"Aircraft {', '.join(one.text or 'that no note names' for one in aircraft)}: {head}"
    said = [head]
    at_once = [load for load in outcome.lost if len(outcome.chain[load]) == 2]
    if not outcome.lost:
        said.append("Nothing else is lost.")
    if at_once:
        said.append(f"Lost with {'them' if several else 'it'}: {_listed(at_once)}.")
    ways: dict[str, list[str]] = {}
    for load in outcome.lost:
        if len(outcome.chain[load]) > 2:
            ways.setdefault(", ".join(outcome.chain[load][1:-1]), []).append(load)
    said += [f"Lost through {way}: {_listed(loads)}." for way, loads in ways.items()]
    if outcome.kept:
        said.append(
            f"Alive through a backup: {_listed(f'{load} on {by}' for load, by in outcome.kept.items())}."
        )
    if outcome.still:
        still = (f"{load} by {source}" for load, source in outcome.still.items())
        said.append(f"Alive because fed twice: {_listed(still)}.")
    for load, backup in outcome.manual.items():
        by = f" from {backup.name}" if backup.name else ""
        how = f" ({backup.how})" if backup.how else ""
        said.append(f"Until the crew acts: {load} can be fed{by} by hand{how}.")
    if outcome.restored:
        whole = len(outcome.restored) == len(outcome.lost)
        said.append(
            "That brings back everything that was lost."
            if whole
            else f"That brings back {_listed(outcome.restored)}; the rest stays lost."
        )
    elif outcome.lost:
        said.append("Nothing that the notes tell of brings any of it back.")
    return said


def _listed(names: Iterable[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
