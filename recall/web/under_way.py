"""Sittings under way: one review and one oral at a time, held between two presses, taken up again from what the store
holds of them after the program was ended, and shared by every tab and paired device."""

from dataclasses import dataclass, field
from typing import Any, Literal

from recall.publish.sources import SourceText
from recall.session.begin import Wish, begin_oral, begin_review, left_today, oral_drawn, today_of
from recall.session.sitting import Sitting
from recall.session.view import Line, StepError, View
from recall.web.room import Room

Which = Literal["review", "oral"]


@dataclass(slots=True)
class UnderWay:
    """Sittings by what they are. last: the step taken last of each, as it was sent."""

    room: Room
    _held: dict[Which, Sitting] = field(default_factory=dict)
    _last: dict[Which, tuple[str, ...]] = field(default_factory=dict)
    _told: dict[Which, tuple[Line, ...]] = field(default_factory=dict)

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

    def begin(self, which: Which, scope: dict[str, Any]) -> Sitting | None:
        """Begin one of a scope, or go on with the one of this scope that was left off today; None where nothing is
        to be asked."""
        store = self.room.store
        notes = SourceText(store)
        if which == "oral":
            sitting = begin_oral(store, scope, oral_drawn(store, scope, self.room.rng), notes)
        else:
            wish = Wish.of(scope)
            today = today_of(store, wish)
            if not today.order.left and left_today(store, "daily") != scope:
                return None
            sitting = begin_review(store, wish, today, notes)
        self._held[which] = sitting
        return sitting

    def step(self, which: Which, token: str, action: str, text: str, seconds: float | None) -> View:
        """Take a step of the sitting that a token is of; the same step sent again is taken once. StepError where it
        can't be taken."""
        sitting = self.now(which)
        if sitting is None and (scope := self.left(which)) is not None:
            sitting = self.begin(which, scope)
        if sitting is None:
            raise StepError("other", "that question is of a sitting that is over", "begin another")
        sent = (token, action, text)
        if self._last.get(which) == sent:
            return sitting.view()
        before = sitting.view()
        view = sitting.act(token, action, text, seconds)
        same = not view.fresh and action not in ("answer", "next")
        self._told[which] = (*before.tell, *self._told.get(which, ())) if same else ()
        self._last[which] = sent
        return view

    def earlier(self, which: Which) -> tuple[Line, ...]:
        """What was told of the same question before the last step, the newest first."""
        return self._told.get(which, ())
