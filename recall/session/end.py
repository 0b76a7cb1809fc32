"""What a review brought, and what may come next."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from recall.base.dataclass import replace
from recall.base.errors import RecallError
from recall.base.text import count, one_line
from recall.session.desk import Selection, due_of
from recall.session.model import Kept
from recall.session.target import target_of
from recall.session.view import Line
from recall.store import Store


def brought(kept: Sequence[Kept], seconds: float) -> dict[str, Any]:
    """As plain data: a sentence of it (`said`), answers, cards, right ones, seconds; cards `learned` (right, asked
    for the first time) by their questions; `missed` ones with their answers, and whether they were right in the
    end."""
    last = {one.card.id: one for one in kept}
    missed = {one.card.id for one in kept if not one.right}
    minutes = f", {max(1, round(seconds / 60))} min" if seconds >= 1 else ""
    right = sum(one.right for one in kept)
    said = f"{count(len(kept), 'answer')} on {count(len(last), 'card')}, {right} right{minutes}."
    return {
        "said": said if kept else "Nothing was asked.",
        "answers": len(kept),
        "cards": len(last),
        "right": right,
        "seconds": seconds,
        "claimed": sum(one.claimed for one in kept),
        "learned": [
            one.card.prompt for one in kept if one.first and one.waiting.unasked and one.card.id not in missed
        ],
        "missed": [
            {"prompt": one.card.prompt, "answer": list(one.card.answer.texts), "mended": one.right}
            for card, one in last.items()
            if card in missed
        ],
    }


def ahead(store: Store, selection: Selection, planned: float | None = None) -> dict[str, Any]:
    """What may come next, as plain data: `next`, sentences each with what a terminal says behind it; how many `more`
    could be begun today beyond what it has time for. planned: minutes that a plan has left today."""
    target, today = target_of(store.settings()), store.today()
    unasked, room = len(store.unasked_cards(**selection.wanted)), store.unasked_left_today()
    waits, more = len(due_of(store, selection)) + min(unasked, room), max(0, unasked - room)
    found = []
    if planned is not None and planned >= 1:
        found.append((f"The plan has {planned:.0f} min more today", "`recall review --for-checkride`"))
    elif planned is None and waits:
        everything = replace(selection, minutes=None, cards=None) == Selection()
        more_of = "`recall review`" if everything else "go on with the same command"
        found.append((f"{count(waits, 'card still waits', 'cards still wait')} today", more_of))
    elif more:
        found.append((f"{more} more could be begun today", "`recall review --more`"))
    if target is not None and target.on >= today:
        days = (target.on - today).days
        left = f"{count(days, 'day')} to the checkride" if days else "The checkride is today"
        found.append((left, "`recall odds` says how you stand"))
    return {"next": found, "more": more}


MOST_LISTED = 8


def told(end: Mapping[str, Any], weak: Sequence[str], *, typed: bool = True) -> Iterator[Line]:
    """A review's end in sentences. end: of `brought` and `ahead`; weak: topics, a line each; typed: what a terminal
    says behind them stands there."""
    yield Line("head", end["said"])
    yield from _listed(
        "Right at the first asking", [[Line("about", one_line(prompt))] for prompt in end["learned"]]
    )
    missed = [
        [
            Line("wrong", one_line(one["prompt"])),
            Line(
                "answer", one_line("; ".join(one["answer"])) + ("" if one["mended"] else "  (not right yet)")
            ),
        ]
        for one in end["missed"]
    ]
    yield from _listed("Missed", missed)
    if end["claimed"]:
        where = "`recall weak --claims`" if typed else "them under claims"
        yield Line("note", f"Claimed to be right: {end['claimed']}. Whoever writes the notes sees {where}.")
    if weak:
        yield Line("head", "Weak topics")
        yield from (Line("about", text) for text in weak)
    for said, behind in end["next"]:
        yield Line("right", f"{said}: {behind}." if typed else f"{said}.")


def _listed(head: str, each: Sequence[Sequence[Line]]) -> Iterator[Line]:
    if each:
        yield Line("head", f"{head}: {len(each)}")
        for lines in each[:MOST_LISTED]:
            yield from lines
        if len(each) > MOST_LISTED:
            yield Line("note", f"and {len(each) - MOST_LISTED} more")


def nothing_due(store: Store, chosen: Selection, more: str = ": `recall review --more`") -> str:
    """Why there is nothing to ask, and when there will be. more: how more is begun. RecallError where what was chosen
    has no card."""
    if not store.decks():
        from recall.session.paper import no_cards

        raise no_cards(store)
    if chosen.kind or chosen.critical or chosen.topic:
        here = store.cards(**chosen.wanted)
        if not here:
            words = filter(None, (chosen.topic, chosen.kind, "critical" if chosen.critical else ""))
            raise RecallError(f"no card is of {' and '.join(f'`{word}`' for word in words)}", "ask for less")
        due = Counter(known.due for known in here if known.due is not None)
    else:
        days = store.due_by_day(366)[1:]
        due = Counter({day.date: day.due + day.unasked for day in days if day.due or day.unasked})
    when = f" Next: {min(due)}, {count(due[min(due)], 'card')}." if due else ""
    unasked = len(store.unasked_cards(**chosen.wanted))
    return f"Nothing is due.{when}" + (f" {unasked} more could be begun today{more}." if unasked else "")
