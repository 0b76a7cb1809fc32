"""Lists and paragraphs that no kind reads as a whole: sentence by sentence."""

from collections.abc import Collection, Iterator, Mapping

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.text import count, one_line
from recall.kinds.english import lower, upper
from recall.kinds.kind import Kind
from recall.kinds.model import Point, Scope
from recall.kinds.prose.form import Claim, Said, SentenceForm
from recall.kinds.prose.sentence import FOOT, MOST_SIGNS, sentences_of
from recall.kinds.steps.reading import condition_of
from recall.kinds.tables.cells import without_stop
from recall.notes.model import Block, Item, List, Text

_MOST_WORDS = 14
"""Of a condition in a list of them."""
_OF_THESE = re.any_case(
    r"(?<= )(?P<these>(?:(?:all|both|each)|(?P<any>any|one|either))?(?: of)? ?(?:these|the following)\b[^:]*)?:$|"
    r"(?<= if|hen|ile|ess|til):$"
)
_LIMITS = re.any_case(r"(?:except|unless|but|not|only|if|when|while|other than)\b")
"""Begins a footnote without which a sentence says too much."""
_JOINT = re.any_case(r"[,;]?(?: (and|or))?$")
_WHICH = {"requires": False, "inhibited": True}
"""Of which role any one is enough: all of a set are asked for, and nothing else can be said by it."""


@dataclass(slots=True)
class Prose:
    """Reads sentences by the forms of some kinds. doubts: by line, what keeps one from being read."""

    kinds: Mapping[str, Kind]
    forms: tuple[SentenceForm, ...]
    points: list[Point] = field(default_factory=list)
    doubts: dict[int, Said] = field(default_factory=dict)

    def take(self) -> list[Point]:
        """What was read since the last call."""
        read, self.points = self.points, []
        return read

    def read(self, text: Text, scope: Scope, *, bullet: bool = False) -> Said:
        """What a text says by the forms."""
        from recall.kinds.prose.reading import read_text  # a note of tables alone needs none of it

        return read_text(text, scope, self.forms, bullet=bullet)

    def sentence(self, text: Text, scope: Scope, *, bullet: bool = False) -> bool:
        """Read one text; its points are kept where it says something for sure."""
        said = self.read(text, scope, bullet=bullet)
        notes = (
            [scope.footnotes.get(mark, "") for mark in FOOT.findall(text.plain)] if "[^" in text.plain else []
        )
        if said.claims and any(map(_LIMITS.match, notes)):
            said = Said(near=said.claims[0].form.kind, doubt="its footnote says when it doesn't hold")
        if scope.under and any(claim.form.ask != "gap" for claim in said.claims):
            said = Said(near=said.claims[0].form.kind, doubt="the line above it says when it holds")
        elif scope.under:
            said = replace(said, claims=tuple(_under(claim, scope.under) for claim in said.claims))
        points = [self.kinds[claim.form.kind].read_claim(claim, text, scope) for claim in said.claims]
        read = [point for point in points if point is not None]
        if len(read) < len(points):
            said = Said(near=said.claims[0].form.kind, doubt="its amount or its names aren't sure")
        for point in read if said.claims else ():
            point.condition = point.condition or scope.under
        if said.claims:
            self.points += read
        else:
            self.doubts[text.place.line] = said
        return bool(said.claims)

    def paragraph(self, text: Text, scope: Scope) -> None:
        """A paragraph of one sentence; of several, which one would be read if it stood alone. One wholly in bold is
        to be recited, and isn't ours."""
        sentences = sentences_of(text)
        if len(sentences) == 1 and text.bold != "all" and not text.plain.rstrip().endswith((":", "?")):
            self.sentence(text, scope)
        if len(sentences) < 2 or len(text.plain) >= 2 * MOST_SIGNS:
            return
        from recall.kinds.unread import tells

        for sentence in sentences:
            alone = replace(text, plain=sentence, runs=())
            claims = self.read(alone, scope).claims if tells(sentence) else ()
            if claims and all(self.kinds[one.form.kind].read_claim(one, alone, scope) for one in claims):
                doubt = f"it stands in a paragraph of {count(len(sentences), 'sentence')}"
                cure = "give it a paragraph or a bullet of its own"
                self.doubts[text.place.line] = Said(doubt=doubt, words=sentence, cure=cure)
                return

    def members(self, block: List, scope: Scope) -> Kind | None:
        """A list of conditions under the sentence that they end (`Arming is refused unless all of these hold:`); the
        kind that reads it so."""
        lead = one_line(block.lead.plain) if block.lead else ""
        found = _OF_THESE.search(lead)
        texts = [one_line(item.text.plain) for item in block.items]
        joints = {(joint[1] or "").casefold() for text in texts[:-1] if (joint := _JOINT.search(text))}
        items = tuple(without_stop(_JOINT.sub("", text)) for text in texts)
        whole = any(item.below or len(item.text.plain.split()) > _MOST_WORDS for item in block.items)
        if block.lead is None or found is None or whole or len(items) < 2:
            return None
        stem = replace(block.lead, plain=f"{lead[: found.start()].rstrip()} X", runs=())
        (claim, *more) = self.read(stem, scope).claims or (None,)
        if claim is None or more or claim.said != "X" or claim.form.role not in _WHICH:
            return None
        any_one = _WHICH[claim.form.role]
        if bool(found["any"]) != any_one if found["these"] else ("and" if any_one else "or") in joints:
            return None
        kind = self.kinds[claim.form.kind]
        point = kind.read_claim(replace(claim, said=items[0], more=items[1:]), block.lead, scope)
        self.points += [point] if point else []
        return kind if point else None

    def bullets(self, block: List, scope: Scope) -> Iterator[Block]:
        """Read a list item by item. Gives back the other blocks that stand in it."""
        if block.lead is not None and (under := condition_of(block.lead.plain)):
            scope = replace(scope, under=under)
        for item in block.items:
            read = stands_alone(item) and self.sentence(item.text, scope, bullet=True)
            inside = scope if read else replace(scope, heading=one_line(item.text.plain).rstrip(":"))
            for below in item.below:
                if isinstance(below, List):
                    yield from self.bullets(below, inside)
                else:
                    yield below


def _under(claim: Claim, condition: str) -> Claim:
    """A claim with the condition of the line above it in its question."""
    ahead = f"{upper(condition)}, "
    return replace(claim, stem=ahead + lower(claim.stem), back=ahead + lower(claim.back))


def items_in(block: List) -> Iterator[Item]:
    """The items of a list and of those in it, in order."""
    for item in block.items:
        yield item
        for below in item.below:
            if isinstance(below, List):
                yield from items_in(below)


def without_items(block: List, lines: Collection[int]) -> List:
    """A list without the items on some lines, and without those that stand over nothing else."""
    kept: list[Item] = []
    for item in block.items:
        below = tuple(without_items(one, lines) if isinstance(one, List) else one for one in item.below)
        below = tuple(one for one in below if not isinstance(one, List) or one.items)
        if below or (item.place.line not in lines and not any(isinstance(one, List) for one in item.below)):
            kept.append(replace(item, below=below))
    return replace(block, items=tuple(kept))


def stands_alone(item: Item) -> bool:
    """Whether an item says all it says itself: nothing stands below it, or its sentence is closed."""
    return not item.below or item.text.plain.rstrip().endswith((".", "!"))
