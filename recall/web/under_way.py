"""Sittings under way: one review and one oral at a time, held between two presses, taken up again from what the store
holds of them after the program was ended, and shared by every tab and paired device."""

from asyncio import Lock, get_running_loop
from copy import deepcopy
from typing import Any, Literal

from recall.base.dataclass import dataclass, field
from recall.publish.sources import SourceText
from recall.session.begin import begin_oral, begin_review, left_today, oral_drawn, today_of
from recall.session.desk import Selection
from recall.session.model import Today
from recall.session.sitting import Sitting
from recall.session.view import Line, StepError, View
from recall.web.room import Room, events_so_far

Which = Literal["review", "oral"]
PLANNED = "what the plan has for today"
SOON = 0.5
"""Seconds after which a page has all that it draws in."""


@dataclass(slots=True)
class UnderWay:
    """Sittings by what they are. last: the step taken last of each, as it was sent."""

    room: Room
    _held: dict[Which, Sitting] = field(default_factory=dict)
    _last: dict[Which, tuple[str, ...]] = field(default_factory=dict)
    _told: dict[Which, tuple[Line, ...]] = field(default_factory=dict)
    _of_put: set[Which] = field(default_factory=set)
    _one: Lock = field(default_factory=Lock)
    _ready: Sitting | None = None

    def now(self, which: Which) -> Sitting | None:
        """The sitting that is held; None where there is none, or another run went on with it."""
        sitting, store = self._held.get(which), self.room.store
        if sitting is not None and sitting.phase != "over" and not sitting.desk.noted(sitting.mode):
            del self._held[which]
            return None
        if sitting is not None and sitting.phase == "over" and left_today(store, sitting.mode) is not None:
            return None
        return sitting

    def left(self, which: Which) -> dict[str, Any] | None:
        """The scope of one that was left off today, here or elsewhere, and isn't held."""
        if (held := self.now(which)) is not None and held.phase != "over":
            return None
        return left_today(self.room.store, "oral" if which == "oral" else "daily")

    async def today(self, chosen: Selection) -> Today:
        """What a review would ask today; a plan's day is worked out apart, once until something is answered."""
        if not chosen.plan:
            return today_of(self.room.store, chosen)
        known = await self.room.apart(PLANNED, self.mark(chosen), lambda own: today_of(own, chosen))
        return deepcopy(known)  # a sitting takes from its order

    def is_made(self, chosen: Selection) -> bool:
        """Whether what it would ask today needs no working out."""
        return not chosen.plan or self.room.made(PLANNED, self.mark(chosen)) is not None

    def mark(self, chosen: Selection) -> object:
        """What is the same as long as a plan's day is."""
        return events_so_far(self.room.store), chosen

    async def begin(self, which: Which, scope: dict[str, Any]) -> Sitting | None:
        """Begin one of a scope, or go on with the one of this scope that was left off today; None where nothing is
        to be asked."""
        async with self._one:
            return await self._begin(which, scope)

    async def _begin(self, which: Which, scope: dict[str, Any]) -> Sitting | None:
        store = self.room.store
        notes = SourceText(store)
        if which == "oral":
            sitting = begin_oral(store, scope, oral_drawn(store, scope, self.room.rng), notes)
        else:
            chosen = Selection.of(scope)
            today = await self.today(chosen)
            if not today.order.left and left_today(store, "daily") != scope:
                return None
            sitting = begin_review(store, chosen, today, notes)
        self._held[which] = sitting
        self._told.pop(which, None)
        self._of_put.discard(which)
        return sitting

    async def step(self, which: Which, token: str, action: str, text: str, seconds: float | None) -> View:
        """Take a step of the sitting that a token is of; the same step sent again is taken once. StepError where it
        can't be taken."""
        async with self._one:
            sitting = self.now(which)
            if sitting is None and (scope := self.left(which)) is not None:
                sitting = await self._begin(which, scope)
        if sitting is None:
            raise StepError("other", "that question is of a sitting that is over", "begin another")
        sent = (token, action, text)
        if self._last.get(which) == sent:
            return sitting.view()
        before = sitting.view()
        view = sitting.act(token, action, text, seconds)
        _, told, earlier = self.told(which, before)
        again = view.phase != "told" and action in ("answer", "source", "undo")
        of_put = again and (not view.fresh or action == "undo")
        same = view.phase == "asking" if of_put else action not in ("answer", "next")
        marked = any(line.role == "mark" for line in view.tell)  # none told before holds any longer
        lines = (*told, *earlier) if same and not view.fresh else ()
        self._told[which] = tuple(line for line in lines if not (marked and line.role == "mark"))
        (self._of_put.add if of_put else self._of_put.discard)(which)
        self._last[which] = sent
        return view

    def ready_soon(self) -> None:
        """Once for each review, while its first question is read and its script has come: see `Desk.ready`."""
        sitting = self._held.get("review")
        if sitting is not None and sitting is not self._ready:
            self._ready = sitting
            get_running_loop().call_later(SOON, self._get_ready, sitting)

    def _get_ready(self, sitting: Sitting) -> None:
        if self.room.is_open and sitting.question is not None and not sitting.kept:
            sitting.desk.ready(sitting.question)

    def told(self, which: Which, view: View) -> tuple[tuple[Line, ...], ...]:
        """What is told of the question that is put; of the answer before it, or whose outcome stands; and what was
        told of that before the last step, the newest first."""
        of_put = which in self._of_put
        return view.tell if of_put else (), () if of_put else view.tell, self._told.get(which, ())
