"""Loading a deck: what changed, what is refused, what may be a renaming."""

from collections.abc import Callable, Collection
from datetime import date

from recall.base.errors import StoreError
from recall.deck.model import Deck
from recall.deck.pairing import Renamed, renamings
from recall.kinds.model import Card
from recall.store.core import Core, by_id
from recall.store.decks import Line, fold_line, keep_line
from recall.store.derive import fold_others, reached
from recall.store.earlier import tell_earlier
from recall.store.events import INSERT, row_of
from recall.store.loads import Content, keep_wordings, line_of, loads_of, note_load
from recall.store.memories import replay_cards
from recall.store.reports import LoadReport
from recall.store.revisions import Step, by_point


def unchanged(core: Core, root: str, fingerprint: str) -> bool:
    """Whether a deck's sources are those of its last load from there, and its deck's last load says the same."""
    rows = core.rows("SELECT deck, load, fingerprint FROM source WHERE root = ?", [root])
    if not rows or rows[0][2] != fingerprint:
        return False
    deck, event, _ = rows[0]
    _, chain = line_of(core, deck)
    loads = loads_of(core, chain)
    content = core.one("SELECT content FROM load WHERE id = ?", [event])
    return bool(loads) and (loads[-1].deck, loads[-1].content) == (deck, content)


def load(
    core: Core,
    content: Content,
    whole: Callable[[], Deck],
    *,
    replace: bool = False,
    carry: bool = False,
    decided: bool = False,
) -> LoadReport:
    """Take a deck's cards into the store. See `Store.load`. whole: the deck that the content was made of; decided:
    its publisher has said what was renamed."""
    with core.writing():
        today, slug, revision = core.today(), content.fields["deck"], content.fields["revision"]
        _, chain = line_of(core, slug)
        loads = loads_of(core, chain)
        same = [known for known in loads if (known.deck, known.revision) == (slug, revision)]
        if same and same[-1].content == content.hash:
            event, recorded = same[-1].event, False
            line = fold_line(core, slug, today, scratch=carry)
        else:
            if earlier := tell_earlier(core, loads, revision, whole):
                content.fields["earlier"] = earlier
            event, recorded = _insert(core, content), True
            line = fold_line(core, slug, today, content=content)
        waits = next(
            (date.fromordinal(one.comes) for one in line.loads if one.event == event and one.comes), today
        )
        # A revision that waits is folded to its day, so that it is checked and its renamings are told beforehand.
        ahead = waits > today and (recorded or carry)
        seen = fold_line(core, slug, waits, content=content, scratch=True) if ahead else line
        before = line.current.event if ahead and line.current else _in_force(core, line)
        step = _step_to(seen, content, before) if recorded or carry else Step()
        left = step.gone - step.read - step.renamed.keys()
        if recorded and not replace and len(left) * 2 > step.before > 0:
            raise StoreError(
                f"this would withdraw {len(left)} of the {step.before} cards of the deck `{slug}`",
                "if it is another deck, give it another name in its record; if it is meant, load with --replace",
            )
        proposed = () if decided else proposals(core, seen, step)
        if carry and proposed:
            for each in proposed:
                _carry(core, seen, each)
            line = fold_line(core, slug, today, content=content, scratch=True)
            seen = line if waits <= today else fold_line(core, slug, waits, content=content, scratch=True)
            step, proposed = _step_to(seen, content, before), ()
        if recorded or line.fresh_start:
            touched = keep_line(core, line) | fold_others(core)
            replay_cards(core, reached(core, touched - _blank(core, step.new)))
        known = (content.place, slug, event, content.fingerprint)
        core.db.execute("INSERT OR REPLACE INTO source VALUES (?, ?, ?, ?)", known)
        asked = None if line.current is None else line.current.revision
        return _report(core, content, seen, step, proposed, recorded, asked, waits if waits > today else None)


def _in_force(core: Core, line: Line) -> str | None:
    """The event of the load that was in force as the line was last written."""
    found = (core.one("SELECT current FROM deck WHERE slug = ?", [slug]) for slug in reversed(line.chain))
    return next(filter(None, found), None)


def _step_to(line: Line, content: Content, before: str | None) -> Step:
    """What the loaded revision does, where it is the one in force at the end of a line, with those that waited for
    their day and come with it. before: the event of the load that was in force."""
    current = line.current
    there = current is not None and (current.deck, current.content) == (content.fields["deck"], content.hash)
    return line.since(before) if there else Step()


def _insert(core: Core, content: Content) -> str:
    """Write the event, the wordings that the store doesn't know yet, and what is read of it."""
    event = core.next_id()
    *columns, _ = row_of(event, "deck loaded", {"day": content.fields["day"]})
    core.db.execute(INSERT, (*columns, content.body()))
    keep_wordings(core, [(name, content.texts[name]) for name in content.looks or content.texts])
    note_load(core, event)
    return event


def _blank(core: Core, cards: Collection[str]) -> set[str]:
    """Those cards of which nothing is known and that no answer is about."""
    if core.one("SELECT 1 FROM event WHERE card IS NOT NULL") is None:
        return set(cards)
    sql = (
        "SELECT id FROM card WHERE linked = 0 AND standing = 'unasked'"
        " AND NOT EXISTS (SELECT 1 FROM event WHERE event.card = card.id) AND id IN"
    )
    return {row[0] for row in by_id(core, sql, cards)}


def proposals(core: Core, line: Line, step: Step) -> tuple[Renamed, ...]:
    """Points that went while one of the same kind and with an answer of theirs came under a like subject."""
    if not step.gone or not step.new:
        return ()
    return tuple(renamings(*(_points(core, line, cards - step.read) for cards in (step.gone, step.new))))


def _points(core: Core, line: Line, cards: Collection[str]) -> dict[str, list[Card]]:
    points: dict[str, list[Card]] = {}
    for face in (line.face(core, card) for card in sorted(cards)):
        points.setdefault(face.point, []).append(face)
    return points


def _carry(core: Core, line: Line, renamed: Renamed) -> None:
    sides: list[dict[str, str]] = [{}, {}]
    for card in line.states:
        face = line.face(core, card)
        for side, point in enumerate((renamed.source, renamed.target)):
            if face.point == point:
                sides[side][face.aspect] = card
    for aspect in sorted(sides[0].keys() & sides[1].keys()):
        core.append("carried", {"from": sides[0][aspect], "to": sides[1][aspect]})


def _report(
    core: Core,
    content: Content,
    line: Line,
    step: Step,
    proposed: tuple[Renamed, ...],
    recorded: bool,
    in_force: str | None,
    waits: date | None,
) -> LoadReport:
    of = content.points
    points = by_point(step, of, lambda card: line.face(core, card).point)
    other = points.changed | points.renamed
    anew = step.anew if other else ()
    return LoadReport(
        deck=content.fields["deck"],
        revision=content.fields["revision"],
        points=len(set(of.values())),
        cards=len(of),
        new=len(points.new),
        changed=len(points.changed),
        withdrawn=len(points.withdrawn),
        dropped=len(points.dropped),
        paused=sum(state.present and state.paused and not state.moved for state in line.states.values()),
        moved=len(points.moved),
        renamed=len(points.renamed),
        in_force=in_force,
        waits=waits,
        recorded=recorded,
        proposals=proposed,
        other=tuple(
            card
            for card, point in of.items()
            if point in other and card in anew and not line.face(core, card).answer.drawn
        ),
    )
