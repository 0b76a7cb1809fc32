"""Lists and paragraphs that no kind reads as a whole: sentence by sentence, and what is told of the rest."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, finding
from recall.base.text import count, one_line, shown
from recall.kinds.kind import Kind
from recall.kinds.model import Point, Scope
from recall.kinds.prose.doubts import MOST_SIGNS
from recall.kinds.prose.form import SentenceForm
from recall.kinds.prose.reading import Said, has_arrow, read_text
from recall.kinds.prose.sentence import sentences_of
from recall.kinds.prose.shortform import split_head
from recall.kinds.steps.telling import is_dotted, links
from recall.kinds.steps.telling import tells as tells_step
from recall.kinds.tables.cells import without_stop
from recall.notes.model import Block, Code, Item, List, Text

_FORBIDS = re.compile(
    r"n['’]t\b|\b(?:must|not|never|only|unless|until|except|inhibited|cannot|neither|prohibited|forbidden|requires?|needs?|"
    r"prevents?|when|whenever|while)\b",
    re.IGNORECASE,
)
"""What a sentence must be told of where it isn't read; and numbers, unless they are part of a name (`Bus 2`)."""
_NUMBER = re.compile(
    r"(?:(?<!\S)(?P<before>\S+) )?(?<![^\s\w])[^\s\w]*"
    r"(?:\d|(?:two|three|four|five|six|seven|eight|nine|ten|twelve) \w+s\b)"
)
_CURES = {
    "interlock": "write it as one sentence such as `X is inhibited when Y`, `X cannot Y unless Z` or `X only when Y`",
    "consequence": "write it as one sentence such as `If X, Y` or `X causes Y`, or as `X → Y`, a clause on each side",
    "supply": "write a list of the loads under a line such as `**Bus 1** feeds:`, or a table `From | Feeds`",
    "limit": "write a sentence such as `Oil pressure must not be more than 6 bar`, or a table `Parameter | Maximum`",
}
_FEEDS = re.compile(r"\b(?:feeds?|powers|powered|supplies|supplied|fed)\b", re.IGNORECASE)
_NUMBERED = re.compile(r"(?:\d+[.)]|[-*])\s+")
_MOST_NAMED = 40
_MOST_WORDS = 14
"""Of a condition in a list of them."""
_OF_THESE = re.compile(
    r"(?<= )(?:(?:all|both|each)|(?P<any>any|one|either))?(?: of)? ?(?:these|the following)\b[^:]*:$",
    re.IGNORECASE,
)
_WHICH = {"requires": False, "inhibited": True}
"""Of which role any one is enough: all of a set are asked for, and nothing else can be said by it."""


@dataclass(slots=True)
class Prose:
    """Reads sentences by the forms of some kinds."""

    kinds: Mapping[str, Kind]
    forms: tuple[SentenceForm, ...]
    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    @classmethod
    def of(cls, kinds: Sequence[Kind]) -> "Prose":
        """The reader for all forms of these kinds, in their order."""
        return cls(
            {kind.name: kind for kind in kinds}, tuple(form for kind in kinds for form in kind.sentences)
        )

    def take(self) -> tuple[list[Point], list[Finding]]:
        """What was read since the last call."""
        read = self.points, self.findings
        self.points, self.findings = [], []
        return read

    def sentence(self, text: Text, scope: Scope, *, bullet: bool = False) -> Said:
        """Read one text; its points are kept where it says something for sure."""
        said = read_text(text, scope, self.forms, bullet=bullet)
        points = [self.kinds[claim.form.kind].read_claim(claim, text, scope) for claim in said.claims]
        read = [point for point in points if point is not None]
        if len(read) < len(points):
            return Said(near=said.claims[0].form.kind, doubt="its amount or its names aren't sure")
        self.points += read
        return said

    def paragraph(self, text: Text, scope: Scope) -> None:
        """A paragraph of one sentence; what should be known and isn't read is told, and so is a sentence that would
        be read if it stood alone. One wholly in bold is to be recited, and isn't ours."""
        sentences = sentences_of(text)
        if len(sentences) > 1 and len(text.plain) < 2 * MOST_SIGNS:
            self._within(text, sentences, scope)
        if len(sentences) != 1 or text.plain.rstrip().endswith((":", "?")):
            return
        said = self.sentence(text, scope) if text.bold != "all" else Said()
        named = (text.lead is not None and split_head(text) is not None) or " = " in text.plain
        if said.claims or not (said.near or has_arrow(text.plain) or named or tells(sentences[0])):
            return
        near = said.near or _nearest(sentences[0])
        reason = (
            f"it reads like {_a(near)}, but {said.doubt}" if said.doubt else f"the nearest kind is {near}"
        )
        message = f"`{_short(text, 60)}` makes no card: {reason}"
        self.findings.append(
            finding("unread-sentence", text.place, message, _CURES.get(near, _CURES["consequence"]))
        )

    def _within(self, text: Text, sentences: Sequence[str], scope: Scope) -> None:
        """Tell of a sentence among others that says something in one of the forms."""
        for sentence in sentences:
            alone = replace(text, plain=sentence, runs=())
            claims = read_text(alone, scope, self.forms).claims if tells(sentence) else ()
            if claims and all(self.kinds[one.form.kind].read_claim(one, alone, scope) for one in claims):
                words = _short(alone, 60)
                message = f"`{words}` makes no card: it stands in a paragraph of {count(len(sentences), 'sentence')}"
                help = "give it a paragraph or a bullet of its own"
                self.findings.append(finding("unread-sentence", text.place, message, help))
                return

    def members(self, block: List, scope: Scope) -> Kind | None:
        """A list of conditions under the sentence that they end (`Arming is refused unless all of these hold:`); the
        kind that reads it so."""
        lead = one_line(block.lead.plain) if block.lead else ""
        found = _OF_THESE.search(lead)
        items = tuple(without_stop(item.text.plain) for item in block.items)
        whole = any(item.below or len(item.text.plain.split()) > _MOST_WORDS for item in block.items)
        if block.lead is None or found is None or whole or len(items) < 2:
            return None
        stem = replace(block.lead, plain=f"{lead[: found.start()]}X", runs=())
        (claim, *more) = read_text(stem, scope, self.forms).claims or (None,)
        if claim is None or more or claim.said != "X" or _WHICH.get(claim.form.role) != bool(found["any"]):
            return None
        kind = self.kinds[claim.form.kind]
        point = kind.read_claim(replace(claim, said=items[0], more=items[1:]), block.lead, scope)
        self.points += [point] if point else []
        return kind if point else None

    def code(self, block: Code) -> None:
        """Steps or a table in a block of code are told: nothing in it is read."""
        lines = [line.strip() for line in block.plain.splitlines() if line.strip()]
        steps = sum(
            bool(_NUMBERED.match(line) or is_dotted(line)) and tells_step(_NUMBERED.sub("", line))
            for line in lines
        )
        table = sum(line.count("|") > 1 for line in lines)
        if max(steps, table) > 1 and max(steps, table) * 2 > len(lines):
            what = "table" if table > steps else "steps"
            message = f"{what} in a block of code, which begins `{shown(lines[0])[:60]}`, make no card"
            self.findings.append(finding("unrecognised-list", block.place, message, "take the fence away"))

    def bullets(
        self, block: List, scope: Scope, lacks: tuple[str, str] | None = None, known: int = 0
    ) -> list[Block]:
        """Read a list item by item; the items that aren't read are named in one finding. Gives back the other blocks
        that stand in it. lacks: what keeps the whole from being of a kind that it is near to, and the cure; known:
        how many items are read already."""
        left: list[tuple[Item, Said]] = []
        below: list[Block] = []
        before = len(self.points)
        total = self._items(block.items, scope, left, below) + known
        if left and (known or len(self.points) > before or not below):
            if lacks is None or len(left) < total:
                lacks = self._told(left, total)
            self.findings.append(finding("unrecognised-list", block.place, *lacks))
        return below

    def _items(
        self, items: Sequence[Item], scope: Scope, left: list[tuple[Item, Said]], below: list[Block]
    ) -> int:
        total = 0
        for item in items:
            lists = [block for block in item.below if isinstance(block, List)]
            below += [block for block in item.below if not isinstance(block, List)]
            said = self.sentence(item.text, scope, bullet=True) if stands_alone(item) else Said()
            if not said.claims and not lists and not links(item.text):
                left.append((item, said))
            total += 0 if lists and not said.claims else 1
            inside = scope if said.claims else replace(scope, heading=one_line(item.text.plain).rstrip(":"))
            for block in lists:
                total += self._items(block.items, inside, left, below)
        return total

    def _told(self, left: Sequence[tuple[Item, Said]], total: int) -> tuple[str, str]:
        near, doubt, line = next(
            ((said.near, said.doubt, item.place.line) for item, said in left if said.doubt), ("", "", 0)
        )
        near = near or _nearest(" ".join(item.text.plain for item, _ in left))
        if len(left) == total and total > 0:
            what = f"list that begins `{_short(left[0][0].text, 60)}` makes no card"
            what += "" if total == 1 else f": none of its {count(total, 'item')} is read"
        else:
            named = ", ".join(f"`{_short(item.text)}` (line {item.place.line})" for item, _ in left)
            what = f"{len(left)} of {count(total, 'item')} of the list make no card: {named}"
        reason = (
            f"; line {line} reads like {_a(near)}, but {doubt}" if doubt else f"; the nearest kind is {near}"
        )
        also = "abbreviations are read as `**ABC** – words`, loads under a line such as `**Bus 1** feeds:`"
        return what + reason, f"{_CURES.get(near, _CURES['consequence'])}; {also}"


def tells(sentence: str) -> bool:
    """Whether a sentence says a must, a must not or a number: what should be known."""
    sentence = sentence[:MOST_SIGNS]
    numbers = _NUMBER.finditer(sentence)
    told = any(not (found["before"] or "").istitle() or not found.start() for found in numbers)
    return told or _FORBIDS.search(sentence) is not None or _FEEDS.search(sentence) is not None


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


def _nearest(words: str) -> str:
    words = words[:MOST_SIGNS]
    if _FEEDS.search(words):
        return "supply"
    if _FORBIDS.search(words):
        return "interlock"
    return "limit" if re.search(r"\d", words) and not has_arrow(words) else "consequence"


def _a(kind: str) -> str:
    return f"an {kind}" if kind[:1] in "aeiou" else f"a {kind}"


def _short(text: Text, most: int = _MOST_NAMED) -> str:
    words = shown(one_line(text.plain))
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
