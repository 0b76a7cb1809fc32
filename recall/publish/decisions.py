"""Which points of a revision were renamed: its author decides, once and for all students."""

from collections.abc import Callable, Sequence

from recall.base.dataclass import dataclass
from recall.base.errors import RecallError
from recall.base.text import key_form, shown
from recall.deck.model import Deck
from recall.deck.pairing import Renamed, alike_between, named_renaming


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
    """The renamings from one revision to the next, as the author decides. Raises RecallError where one that was named
    isn't there, and with the whole list where some are left open and nobody can be asked."""
    found = []
    for before, after in decisions.renamed:
        if (named := named_renaming(old, new, before, after)) is None:
            raise RecallError(
                f"`{shown(before)}` wasn't withdrawn, or `{shown(after)}` didn't come as one point of its kind",
                "`recall changes` lists the points that went and came",
            )
        found.append(named)
    settled = {each.source for each in found} | {each.target for each in found}
    apart = set(map(key_form, decisions.withdrawn))
    left = [
        each
        for each in alike_between(old, new)
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
