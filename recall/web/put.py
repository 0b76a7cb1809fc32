"""A view of a sitting as the values of a template."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request

from recall.base.dataclass import dataclass
from recall.base.marks import MARKS
from recall.deck.pictures import PICTURE, in_card
from recall.kinds.english import upper
from recall.kinds.model import Card
from recall.publish.pictures import pictures_here
from recall.session.begin import usual_aircraft
from recall.session.sitting import Sitting
from recall.session.view import ACTIONS, HELPS, Line, View
from recall.web.render import room_of
from recall.web.room import Room

APART = ("notes", "undo", "source", "stop")


@dataclass(frozen=True, slots=True)
class Press:
    """A button. key: the letter that presses it; chosen: it is the one that is proposed."""

    action: str
    label: str
    key: str
    chosen: bool = False


def put(request: Request, sitting: Sitting, view: View, lines: Sequence[Sequence[Line]]) -> dict[str, Any]:
    """What the template of a question that is put takes. lines: see `UnderWay.told`."""
    now, told, earlier = lines
    store = room_of(request).store
    usual = usual_aircraft(store)
    question = view.question
    judged = view.may if view.phase == "marking" else ()
    otherwise = presses([one for one in (*MARKS, "right") if one in view.may and one not in judged])
    past = view.fresh or view.phase == "asking"
    before = past and sitting.kept and (told or earlier or otherwise)
    return {
        "view": view,
        "hint": hint(sitting, view),
        "applies": question.applies if question is not None and question.applies not in usual else "",
        "marks": presses([one for one in MARKS if one in judged], view.proposed),
        "otherwise": otherwise,
        "helps": presses([one for one in HELPS if one in view.may and one != "remark"]),
        "apart": presses([one for one in APART if one in view.may]),
        "now": runs(now),
        "told": runs(told),
        "before": sitting.kept[-1].card.prompt if before else "",
        "earlier": runs(earlier),
        "shows": question is not None and not question.typed and sitting.drawn is None,
        "answer": runs(view.answer),
        "point": sitting.question.point if sitting.question is not None and view.phase == "told" else "",
        "pictures": {
            line: seen
            for card in (sitting.question, *(kept.card for kept in sitting.kept[-1:]))
            if card is not None
            for line, seen in pictures(room_of(request), card).items()
        },
    }


def hint(sitting: Sitting, view: View) -> str:
    """How the question is answered."""
    question = view.question
    if question is None or view.phase != "asking":
        return ""
    if question.several:
        return "Your answer, one a line or all on one"
    if question.typed:
        return "Your answer"
    if sitting.drawn is not None:
        return "Type it in a few words" if question.must else "Say it in a few words, or aloud"
    return "Type what you would say" if question.must else "Say it, or type it"


def presses(actions: Sequence[str], chosen: str | None = None) -> list[Press]:
    """Buttons for actions."""
    told = ((one, ACTIONS[one]) for one in actions)
    return [Press(one, upper(action.label), action.key, one == chosen) for one, action in told]


def runs(lines: Iterable[Line]) -> list[tuple[str, list[Line]]]:
    """Sentences, those of one role in a row together."""
    return [(role, list(run)) for role, run in groupby(lines, key=lambda line: line.role)]


def pictures(room: Room, card: Card) -> dict[str, tuple[str, str]]:
    """Address and words of each picture of a card that is there, by the line that tells it."""
    if not in_card(card.extra):
        return {}
    there = {one.path: one.words for one in pictures_here(room.store, card)}
    return {
        f"{PICTURE}: {words} ({path})": ("picture?" + urlencode({"card": card.id, "name": path}), words)
        for words, path in in_card(card.extra)
        if path in there
    }
