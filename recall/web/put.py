"""A view of a sitting as the values of a template."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request

from recall.base import regex as re
from recall.base.marks import MARKS
from recall.insight.known import topics_of, weak_lines
from recall.kinds.model import Card
from recall.session.sitting import Sitting
from recall.session.view import HELPS, LETTERS, Line, View
from recall.web.render import room_of

LABELS = {
    "right": "I was right",
    "next": "Go on",
    "notes": "The sheet's page first",
    "beside": "What it is taken for",
    "others": "Its point's other cards first",
}
PICTURE = re.compile(r"!\[([^\]]*)\]\(<?([^)\s>]+)>?[^)]*\)")
APART = ("notes", "undo", "source", "stop")


@dataclass(frozen=True, slots=True)
class Press:
    """A button. key: the letter that presses it; chosen: it is the one that is proposed."""

    action: str
    label: str
    key: str
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture of a note. address: on this page."""

    address: str
    words: str


def put(request: Request, sitting: Sitting, view: View, earlier: Sequence[Line] = ()) -> dict[str, Any]:
    """What the template of a question that is put takes. earlier: what was told of it before the last step."""
    store = room_of(request).store
    usual = {str(deck.record.get("applies_to", "")) for deck in store.decks()}
    question = view.question
    judged = view.may if view.phase == "marking" else ()
    return {
        "view": view,
        "hint": hint(sitting, view),
        "applies": question.applies if question is not None and question.applies not in usual else "",
        "marks": presses([one for one in MARKS if one in judged], view.proposed),
        "otherwise": presses([one for one in (*MARKS, "right") if one in view.may and one not in judged]),
        "helps": presses([one for one in HELPS if one in view.may and one != "remark"]),
        "apart": presses([one for one in APART if one in view.may]),
        "told": runs(view.tell),
        "earlier": runs(earlier),
        "answer": runs(view.answer),
        "point": sitting.question.point if sitting.question is not None and view.phase == "told" else "",
        "pictures": pictures(sitting.question, view.tell) if sitting.question is not None else [],
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
        return "Say it in a few words, or aloud"
    return "Type what you would say" if question.must else "Say it, or type it"


def presses(actions: Sequence[str], chosen: str | None = None) -> list[Press]:
    """Buttons for actions."""
    return [Press(one, LABELS.get(one, one.capitalize()), LETTERS[one], one == chosen) for one in actions]


def runs(lines: Sequence[Line]) -> list[tuple[str, list[Line]]]:
    """Sentences, those of one role in a row together."""
    return [(role, list(run)) for role, run in groupby(lines, key=lambda line: line.role)]


def pictures(card: Card, lines: Sequence[Line]) -> list[Picture]:
    """The pictures that the lines of a note name."""
    text = "\n".join(line.text for line in lines if line.role == "line")
    return [
        Picture("picture?" + urlencode({"card": card.id, "name": name}), words)
        for words, name in PICTURE.findall(text)
        if "://" not in name
    ]


def brought(request: Request, end: Mapping[str, Any]) -> dict[str, Any]:
    """What the template of a review's end takes."""
    return {"end": end, "weak": weak_lines(topics_of(room_of(request).store))}
