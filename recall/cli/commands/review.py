"""`recall review`: a sitting."""

from pathlib import Path
from typing import Annotated

from recall.base.clock import SystemClock
from recall.base.errors import RecallError
from recall.cli.options import StoreOption, decimal, known_kind, option, place, store_path, whole

Notes = Annotated[Path | None, place("Notes to load first; without it, all decks loaded before.")]
Minutes = Annotated[
    float | None, option("--minutes MINUTES", "End after so many minutes.", decimal("minutes", 0.5, 1440))
]
Cards = Annotated[int | None, option("--cards CARDS", "End after so many cards.", whole("cards", 1))]
Topic = Annotated[str | None, option("--topic TOPIC", "Only this topic and those below it.")]
ForCheckride = Annotated[
    bool, option("--for-checkride", "What the plan has for today, until the date; see `plan`.")
]
Critical = Annotated[bool, option("--critical", "Only critical points.")]
More = Annotated[bool, option("--more", "Begin more unasked cards than the settings leave for today.")]
OfKind = Annotated[str | None, option("--kind KIND", "Only this kind, such as limit.")]


def review(
    path: Notes = None,
    minutes: Minutes = None,
    cards: Cards = None,
    topic: Topic = None,
    kind: OfKind = None,
    critical: Critical = False,
    more: More = False,
    for_checkride: ForCheckride = False,
    store: StoreOption = None,
) -> None:
    """Review what is due, then begin what hasn't been asked.

    Example: recall review decks/skerry --minutes 10
    """
    from recall.cli.loading import begin, open_store
    from recall.cli.progress import working
    from recall.cli.screen import CAUTIONARY, Screen
    from recall.cli.sitting import at_terminal, run
    from recall.deck.topics import topic_named
    from recall.publish.sources import SourceText
    from recall.session.begin import begin_review, cautions, today_of
    from recall.session.desk import Selection, all_or
    from recall.session.end import nothing_due, told

    known_kind(kind)
    clock = SystemClock()
    with open_store(store_path(store), clock, notes=path) as opened:
        screen = Screen.on()
        decks = begin(opened, path, screen)
        for text in cautions(opened):
            screen.line(text, CAUTIONARY)
        if for_checkride and (topic or kind or critical or more):
            raise RecallError("the plan chooses what is asked", "set its topics: recall plan --topic TOPIC")
        here = all_or(opened, decks)
        chosen = Selection(
            here,
            topic and topic_named([card.topic for card in opened.cards()], topic),
            kind,
            critical,
            more,
            minutes,
            cards,
            plan=for_checkride,
        )
        timed = at_terminal()
        if for_checkride:
            with working("planning today"):
                today = today_of(opened, chosen, reserve=timed)
            screen.line(today.said)
        else:
            today = today_of(opened, chosen)
            if not today.order.left:
                screen.line(nothing_due(opened, chosen))
        left = today.order.left
        if not left:
            return
        if cards is not None and left < cards:
            screen.line(f"{cards} cards were asked for; {left} can be asked today.")
        sitting = begin_review(opened, chosen, today, SourceText(opened), timed=timed)
        end = run(sitting, screen, clock).end
        if end is not None:
            from recall.insight.known import topics_of, weak_lines

            screen.line()
            screen.tell(told(end, weak_lines(topics_of(opened))))
