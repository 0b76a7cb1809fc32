"""One sitting, be it a review, a plan's day or a mock oral: a machine from view to view by a person's steps.

No input or output of its own. After each step it leaves a note in the store, from which another run goes on.
"""

import random
from collections.abc import Callable, Mapping
from typing import Any, Literal

from recall.answers import Verdict
from recall.base.dataclass import dataclass, field, replace
from recall.base.marks import MARKS, Mark
from recall.kinds.model import Card
from recall.session import helps, tell
from recall.session.course import Course
from recall.session.desk import Desk
from recall.session.end import brought
from recall.session.left import go_on, note_of
from recall.session.model import DONT_KNOW, Kept, MarkedBy, Mode
from recall.session.oral import Drawn, result
from recall.session.order import Waiting
from recall.session.view import Line, Phase, Standing, StepError, View

Pause = Literal["wrong", "all", "none"]
"""After which answers the outcome stands until `next`; after others the next question is put at once."""
NOTHING = {"undo": "there is nothing to undo in this sitting", "right": "there is no answer here to claim"}


@dataclass(slots=True)
class Sitting:
    """id: names it, in its events too. scope: what was asked for, as plain data, by which what a run left behind is
    known. drawn: the questions of an oral, which tells nothing until its end; ahead: what may come next, asked at the
    end; notes: what they say; begins: the topic that it begins, of which nothing was asked before; examiner: another
    person reads the questions out and marks."""

    desk: Desk
    course: Course
    id: str
    scope: Mapping[str, Any] = field(default_factory=dict)
    mode: Mode = "daily"
    pause: Pause = "wrong"
    drawn: Drawn | None = None
    ahead: Callable[[], dict[str, Any]] = dict
    notes: helps.Notes = field(default_factory=helps.Notes)
    begins: str = ""
    examiner: bool = False
    phase: Phase = "asking"
    kept: list[Kept] = field(default_factory=list)
    step: int = 0
    question: Card | None = None
    waiting: Waiting | None = None
    told: list[Line] = field(default_factory=list)
    given: str = ""
    seconds: float | None = None
    stopped: bool = False
    _empty: bool = False
    _fresh: bool = False
    _settled: list[int] = field(default_factory=list)

    @classmethod
    def begin(cls, desk: Desk, course: Course, **options: Any) -> "Sitting":
        """A sitting with its first question put; it goes on where one of the same scope was left off today."""
        note = desk.left(options.get("mode", "daily"), options.get("scope", {}))
        sitting = cls(desk, course, note["id"] if note else desk.new_id(), **options)
        course.last = course.clock.ticks()
        course.order.near = desk.near
        with desk.store.writing():
            if note:
                go_on(sitting, note)
            else:
                sitting.told += tell.begun(sitting.begins, sitting.drawn.said if sitting.drawn else ())
                sitting.ask()
            desk.note(sitting.mode, note_of(sitting))
        return sitting

    @property
    def token(self) -> str:
        """Names what is put now."""
        return f"{self.id}.{self.step}"

    def view(self) -> View:
        """The sitting as it stands."""
        over = self.phase == "over"
        return View(
            phase=self.phase,
            token=self.token,
            question=None if over or self.question is None else tell.put(self.question),
            may=self._may(),
            tell=tuple(self.told),
            standing=self._standing(),
            fresh=self._fresh,
            answer=self._answer_side() if self.phase == "marking" else (),
            proposed=self._proposed,
            end=self._end() if over else None,
        )

    def act(self, token: str, action: str, text: str = "", seconds: float | None = None) -> View:
        """Take one step. text: of an answer; seconds: from the question to the first key. StepError where the token
        isn't of what is put now, or the action isn't among those that may be taken."""
        self._check(token, action)
        self.told, self._fresh = [], False
        if self.seconds is None and action == "answer":
            self.seconds = seconds
        with self.desk.store.writing():
            match action:
                case "answer":
                    self._answer(text)
                case "next":
                    self.ask()
                case "undo":
                    self._undo()
                case "source":
                    self._source()
                case "stop":
                    self._stop()
                case "right":
                    self._overrule("sure")
                case "notes":
                    self.told += self.notes.page(self.scope.get("decks", ()), self.begins)
                    self._fresh = True
                case "missed" | "hesitant" | "sure" | "instant":
                    self._judge(action) if self.phase == "marking" else self._overrule(action)
                case _:
                    self.told += helps.take(self, action, text)
            self.step += 1
            self.desk.note(self.mode, note_of(self))
        return self.view()

    def _check(self, token: str, action: str) -> None:
        now = "go on with the one that is put now"
        if not token.startswith(f"{self.id}."):
            raise StepError("other", "that question is of another sitting", now)
        if not self.desk.noted(self.mode):
            raise StepError(
                "elsewhere", "a sitting has been begun or gone on with elsewhere", "begin it again"
            )
        if token != self.token:
            raise StepError("past", "that question has been answered already", now)
        if action not in self._may():
            what = NOTHING.get(action, f"`{action}` can't be done now")
            raise StepError("not now", what, "what may be done: " + ", ".join(self._may()))

    def _may(self) -> tuple[str, ...]:
        undo = ("undo",) if self.kept and (not self._settling or self._settled) else ()
        last = self.kept[-1] if self.kept and self.drawn is None else None
        otherwise = () if last is None else (*last.otherwise, *last.helps)
        notes = ("notes",) if self.begins and not self.kept and self.phase == "asking" else ()
        marks = MARKS[:2] if self._amiss and not self.examiner else MARKS
        phases = {"asking": ("answer", *otherwise), "told": ("next", *otherwise), "marking": marks}
        own = phases.get(self.phase)
        return () if own is None else (*own, *notes, *undo, "source", "stop")

    def _standing(self) -> Standing:
        if self._settling:
            waiting = sum(kept.mark is None for kept in self.kept)
            done = len(self._settled)
            return Standing(done + 1, done + waiting, 0.0, len(self.kept), 0, 0, 0.0)
        put = self.waiting if self.phase in ("asking", "marking") else None
        return self.course.standing(self.kept, put, self.desk.spent_before)

    def _end(self) -> dict[str, Any]:
        if self.drawn is not None:
            return result(self.kept, self.drawn)
        return brought(self.kept, self.course.before + self.desk.spent()) | self.ahead()

    def ask(self) -> None:
        """Put the next question, or end."""
        self.pose(self._following())

    def _following(self) -> Waiting | None:
        return None if self.stopped else self.course.next(self.kept)

    def pose(self, waiting: Waiting | None) -> None:
        """Put the question of a card; without one, end."""
        if waiting is None:
            self._finish()
            return
        self.waiting = waiting
        self.given, self.seconds, self._empty, self._fresh = "", None, False, True
        drawn_by = random.Random(f"{self.id} {waiting.card} {len(self.kept)}")
        self.question = self.desk.put(waiting, drawn_by, self.drawn)
        self.phase = "marking" if self.examiner else "asking"

    def _answer_side(self) -> tuple[Line, ...]:
        assert self.question is not None
        card = self.question
        was = self.desk.was(card, self.given) if self.drawn is None else None
        return tuple(tell.revealed(card, self.given, was, self.desk.remark(card), own=not self.examiner))

    @property
    def _settling(self) -> bool:
        """Whether an oral is at its end, where the candidate marks what was said in prose."""
        return self.drawn is not None and self.waiting is None and self.phase == "marking"

    def _finish(self) -> None:
        """Nothing further is put; prose of an oral is marked first."""
        self.waiting = None
        at = next((at for at, kept in enumerate(self.kept) if kept.mark is None), None)
        if at is None:
            self.phase, self.question = "over", None
            return
        kept, self._fresh, self.phase = self.kept[at], True, "marking"
        self.question, self.given, self.seconds = kept.card, kept.given, kept.seconds
        if not self._settled:
            self.told.append(Line("head", "Now mark your answers in prose."))

    def _stop(self) -> None:
        if self.phase == "marking" and self.drawn is None and self.given:
            self.told.append(Line("caution", "Your last answer isn't kept, since it wasn't marked."))
        if self._settling or self.drawn is None or self.stopped:
            self.waiting, self.phase, self.question = None, "over", None
        else:
            self.stopped = True
            self._finish()

    def _answer(self, text: str) -> None:
        question = self.question
        assert question is not None
        empty = not text.strip() and (question.answer.typed or question.critical)
        if empty and not self._empty:
            self._empty = True
            self.told += tell.empty(question)
            return
        self._empty, self.given = False, DONT_KNOW if empty else text.strip()
        verdict = question.mark(self.given, self.desk.lore(question.deck))
        if verdict.right is not None:
            self._take(verdict, self._by_pace() if verdict.right else "missed")
        elif question.answer.typed:
            self.told.append(Line("note", f"Nothing is kept: {verdict.why}."))
        elif self.drawn is not None:
            self._take(*((Verdict(False), "missed") if self._amiss else (verdict, None)))
        else:
            self.phase = "marking"

    def _by_pace(self) -> Mark:
        put = self.question
        assert put is not None
        timed = None if self.seconds is None else (self.seconds, len(put.prompt))
        return self.desk.pace.proposed(put.kind, timed, guessed=put.answer.drawn)

    @property
    def _amiss(self) -> bool:
        """Whether critical prose can't be right: it is `hesitant` at most by one's own word, missed in an oral."""
        return self.question is not None and self.question.critical and tell.amiss(self.given, self.question)

    @property
    def _proposed(self) -> Mark | None:
        if self.phase != "marking" or self.examiner or self.question is None:
            return None
        return "missed" if tell.amiss(self.given, self.question) else self._by_pace()

    def _judge(self, wish: Mark) -> None:
        if self._settling:
            at = next(at for at, kept in enumerate(self.kept) if kept.mark is None)
            self.kept[at] = self._keep(replace(self.kept[at], mark=wish, marked_by="self"))
            self._settled.append(at)
            self._finish()
        else:
            self._take(Verdict(None), wish, by="examiner" if self.examiner else "self")

    def _take(self, verdict: Verdict, wish: Mark | None, by: MarkedBy = "program") -> None:
        """Keep an answer, say what came of it, and go on."""
        question, waiting = self.question, self.waiting
        assert question is not None and waiting is not None
        self.course.answered()
        kept = Kept(
            waiting=waiting,
            card=question,
            given=self.given,
            verdict=verdict,
            mark=wish,
            proposed=wish if by == "program" else "missed" if by == "self" and self._amiss else None,
            seconds=None if self.examiner else self.seconds,
            marked_by=by,
            first=all(other.card.id != question.id for other in self.kept),
            was=self.desk.was(question, self.given) if self.drawn is None else None,
        )
        kept = self._keep(kept) if wish is not None else kept
        self.kept.append(kept)
        self.waiting = None
        tells = self.drawn is None
        if tells:
            others = self.desk.answered_instead(kept) if verdict.right is False else []
            self.told += (*tell.outcome(kept, self.desk.remark(kept.card), others), *tell.missed_often(kept))
        may_stand = self.examiner or (tells and (by == "program" or kept.helps) and self.pause != "none")
        stands = may_stand and tells and (self.pause == "all" or not kept.right)
        following = None if stands else self._following()
        if self.examiner:
            last = "" if following is not None else " That was the last question."
            self.told.append(Line("note", f"Marked {wish}.{last}"))
        if stands or (may_stand and following is None):
            self.phase = "told"
        else:
            self.pose(following)

    def _keep(self, kept: Kept) -> Kept:
        """Keep it durably, count its pace, and have it come back where it must."""
        event = self.desk.keep(kept, self.mode, self.id, len(self.drawn.cards) if self.drawn else None)
        if kept.timed is not None:
            self.desk.pace.take(kept.card.kind, kept.timed)
        returns = kept.again and self.course.order.missed(kept.waiting)
        kept = replace(kept, event=event, returns=returns)
        asked = {one.card.id for one in self.kept}
        return kept if self.mode == "oral" else replace(kept, helps=helps.offered(self.desk, kept, asked))

    def _take_back(self, kept: Kept) -> None:
        if kept.event:
            self.desk.store.undo(kept.event)
            if kept.timed is not None:
                self.desk.pace.give_back(kept.card.kind, kept.timed)

    def _overrule(self, wish: Mark) -> None:
        """Mark the last answer otherwise; what was judged wrong is claimed, which counts but on a critical point."""
        last = self.kept.pop()
        self._take_back(last)
        if last.returns:
            self.course.order.withdraw(last.waiting)
        claim = last.verdict.right is False and wish != "missed"
        wish = "missed" if claim and last.card.critical else wish
        changed = replace(
            last, mark=wish, claimed=claim, marked_by="self", proposed=last.proposed or last.mark
        )
        self.kept.append(self._keep(changed))
        self.told += (*tell.marked(self.kept[-1]), *tell.missed_often(self.kept[-1]))

    def _undo(self) -> None:
        """Take the last answer back, so that it is asked next; at the end of an oral the last mark of prose."""
        if self._settling:
            at = self._settled.pop()
            self._take_back(self.kept[at])
            self.kept[at] = replace(self.kept[at], mark=None, event="", marked_by="program")
            self._finish()
            return
        last = self.kept.pop()
        self._take_back(last)
        for waiting in filter(None, (self.waiting, last.waiting)):
            self.course.order.take_back(waiting)
        self.told.append(Line("note", "Taken back. It is asked again."))
        self.ask()

    def _source(self) -> None:
        """Where the question stands in the notes, with the note itself once its answer was shown."""
        assert self.question is not None
        lines = None if self.phase == "asking" else self.notes.lines(self.question)
        self.told += tell.source(self.question, lines)
