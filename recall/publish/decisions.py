"""Which points of a revision were renamed: its author decides, once and for all students."""

from collections.abc import Callable, Sequence

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.text import key_form, shown
from recall.deck.pairing import Renamed
from recall.publish.difference import Difference


@dataclass(frozen=True, slots=True)
class Decisions:
    """What the author says of points that are alike, one withdrawn and one new. renamed: pairs of subjects, old and
    new; withdrawn: old subjects that are no other point's now; ask: decides on the others, None where nobody can."""

    renamed: Sequence[tuple[str, str]] = ()
    withdrawn: Sequence[str] = ()
    ask: Callable[[Renamed], bool] | None = None


UNDECIDED = Decisions()
"""Nothing is said, and nobody can be asked."""


def decided(between: Difference, decisions: Decisions) -> dict[str, str]:
    """The renamings from one revision to the next, as the author decides: ids of cards, new → old. Raises RecallError
    where what was named isn't there, and with the whole list where some are left open and nobody can be asked."""
    went, came = (
        {key_form(cards[0].subject) for cards in side.values()} for side in (between.went, between.came)
    )
    named = [
        *((before, went) for before, _ in decisions.renamed),
        *((one, went) for one in decisions.withdrawn),
        *((after, came) for _, after in decisions.renamed),
    ]
    if strange := dict.fromkeys(shown(one) for one, there in named if key_form(one) not in there):
        raise RecallError(
            f"since the last revision no point went or came by the name {', '.join(f'`{one}`' for one in strange)}",
            "`recall changes OLD NEW` lists those that did",
        )
    found = [_named(between, *names) for names in decisions.renamed]
    settled = {id for each in found for id in (each.source, each.target)}
    apart = set(map(key_form, decisions.withdrawn))
    left = [
        each
        for each in between.alike()
        if settled.isdisjoint((each.source, each.target)) and key_form(each.old_subject) not in apart
    ]
    if left and decisions.ask is None:
        listed = ", ".join(f"`{shown(each.old_subject)}` → `{shown(each.new_subject)}`" for each in left)
        raise RecallError(
            f"points went while like ones came, and only their author knows whether they are the same: {listed}",
            'say of each --renamed "OLD=NEW" (its history goes along) or --withdrawn "OLD"',
        )
    found += [each for each in left if decisions.ask is not None and decisions.ask(each)]
    return between.cards_renamed(found)


def _named(between: Difference, before: str, after: str) -> Renamed:
    """The renaming that an author names by both subjects. Raises RecallError where not exactly one point went under
    the first and one of its kind came under the second."""
    wanted = key_form(before), key_form(after)
    found = [
        Renamed(one.point, two.point, one.subject, two.subject, 1.0)
        for one, *_ in between.went.values()
        for two, *_ in between.came.values()
        if one.kind == two.kind and (key_form(one.subject), key_form(two.subject)) == wanted
    ]
    if len(found) != 1:
        raise RecallError(
            f"`{shown(before)}` and `{shown(after)}` aren't one point each, of one kind",
            "`recall changes OLD NEW` lists the points that went and came",
        )
    return found[0]
