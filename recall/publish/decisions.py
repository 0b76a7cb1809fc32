"""Which points of a revision were renamed: its author decides, once and for all students."""

from collections.abc import Callable, Sequence

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.text import key_form, shown
from recall.deck.model import Deck
from recall.deck.pairing import Renamed, match, named_renaming, renamings


@dataclass(frozen=True, slots=True)
class Decisions:
    """What the author says of points that are alike, one withdrawn and one new. renamed: pairs of subjects, old and
    new; withdrawn: old subjects that are no other point's now; ask: decides on the others, None where nobody can."""

    renamed: Sequence[tuple[str, str]] = ()
    withdrawn: Sequence[str] = ()
    ask: Callable[[Renamed], bool] | None = None


UNDECIDED = Decisions()
"""Nothing is said, and nobody can be asked."""


def decided(old: Deck, new: Deck, decisions: Decisions) -> list[Renamed]:
    """The renamings from one revision to the next, as the author decides. Raises RecallError where what was named
    isn't there, and with the whole list where some are left open and nobody can be asked."""
    between = match(old, new)
    went, came = (
        {key_form(cards[0].subject) for cards in side.values()} for side in (between.gone, between.come)
    )
    named = [
        *((before, went) for before, _ in decisions.renamed),
        *((one, went) for one in decisions.withdrawn),
    ]
    named += [(after, came) for _, after in decisions.renamed]
    if strange := dict.fromkeys(shown(one) for one, there in named if key_form(one) not in there):
        raise RecallError(
            f"since the last revision no point went or came by the name {', '.join(f'`{one}`' for one in strange)}",
            "`recall changes OLD NEW` lists those that did",
        )
    found = []
    for before, after in decisions.renamed:
        if (one := named_renaming(old, new, before, after)) is None:
            raise RecallError(
                f"`{shown(before)}` and `{shown(after)}` aren't one point each, of one kind",
                "`recall changes OLD NEW` lists the points that went and came",
            )
        found.append(one)
    settled = {each.source for each in found} | {each.target for each in found}
    apart = set(map(key_form, decisions.withdrawn))
    left = [
        each
        for each in renamings(between.gone, between.come)
        if each.source not in settled
        and each.target not in settled
        and key_form(each.old_subject) not in apart
    ]
    if left and decisions.ask is None:
        listed = ", ".join(f"`{shown(each.old_subject)}` → `{shown(each.new_subject)}`" for each in left)
        raise RecallError(
            f"points went while like ones came, and only their author knows whether they are the same: {listed}",
            'say of each --renamed "OLD=NEW" (its history goes along) or --withdrawn "OLD"',
        )
    return found + [each for each in left if decisions.ask is not None and decisions.ask(each)]
