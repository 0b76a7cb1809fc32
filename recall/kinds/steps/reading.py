"""Steps of a procedure, out of lists and tables: their words, reasons, and what follows when one is skipped."""

from collections.abc import Mapping, Sequence
from itertools import groupby

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line, shown
from recall.kinds.model import Scope
from recall.kinds.prose.lexicon import GENERAL, NEGATING
from recall.kinds.steps.memory import without_memory
from recall.kinds.steps.telling import LEADER, is_dotted
from recall.kinds.tables.cells import Answers, is_placeholder, without_stop
from recall.kinds.tables.headers import Match
from recall.notes.model import Block, Bold, Code, Item, List, Paragraph, Row, Run, Table, Text

_ASIDE = re.any_case(
    r"(?P<skipped>\b(?:If|When) (?:this (?:step )?is |it is )?(?:skipped|left out|omitted|missed)\s*[:,–—-]\s+)"
    r"|(?P<reason>\b(?:Why|Reason|Because)\s*:\s+)"
)
"""Begins what is said of a step, also further on in its line."""
_CASE = re.any_case(r"(?:If|When) [^.:;]{1,40}: ")
"""Begins what is done in some case, or a slip of the above: `If cold: …`, `If skiped: …`; no reason of a step."""
_NUMBER = re.any_case(r"\W*(?:step\s*)?(?:\d+(?:\.\d+)*[a-z]?|[a-z])\W*")
_NUMBERED = re.any_case(r"^(?:step\s+)?\(?\d+(?:\.\d+)*[.):]\s+|^step\s+\d+\s*[–—-]\s+")
_COUNTED = re.compile(r"(?:^|(?<=\s))\(?\d{1,2}[.)]\s+(?=[^\W\d])")
_GENERAL_LEAD = re.any_case(
    r"(?:the |these |following |in this order|do(?:n['’]t)? |proceed|as follows|steps?|procedure|actions?|then|now|"
    r"perform|carry out|complete|follow)\b.*"
)
SIGNAL = re.any_case(
    r"(?:note|notice|warning|caution|danger|important|attention|tip|hint|info|nb|n\.b\.|remember|remark|disclaimer|"
    r"(?:written|signed|compiled|approved|issued|edited|checked|authori[sz]ed|revised|published) (?:by|on|in)|"
    r"please|copyright|licen[cs]e|all rights|update|deprecated|todo|example|uncontrolled copy|draft)\b"
)
"""Words that begin a remark, which names nothing and is recited by nobody."""
MOST_LEAD_WORDS = 8
GOES_TO = re.any_case(
    r"\b(?:go|skip|jump|return|back) to (?:step|item|point|no\.?) ?\d|\brepeat (?:from )?steps?\b"
)
"""A step that says at which other one it goes on."""
_ONE_OF_TWO = re.any_case(r"(?:if|otherwise)\b")
_BRANCH = re.any_case(r"(?:if|when|unless|should|otherwise|in case of|once)\b")


@dataclass(frozen=True, slots=True)
class Step:
    """One step. bold: how much of it is in bold; reason, skipped: empty where nothing is said; extra: columns that
    aren't known, header and text; condition: what must be so for it, where the steps branch."""

    text: str
    place: Place
    bold: Bold = "none"
    reason: str = ""
    skipped: str = ""
    extra: tuple[tuple[str, str], ...] = ()
    condition: str = ""


@dataclass(slots=True)
class Steps:
    """The steps read, and what is wrong with them. whole: nothing of them is left out; source, id: of the
    whole, where a table gives them."""

    steps: list[Step] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)
    whole: bool = True
    source: str = ""
    applies: str = ""
    id: str = ""

    def lacks(self, rule: str, place: Place, message: str, help: str) -> None:
        """Something is missing: the steps can't be asked for."""
        self.findings.append(finding(rule, place, message, help))
        self.whole = False


def step_words(text: str) -> str:
    """A step as it is shown: leaders as one ellipsis, no number at its head, no stop or mark at its end."""
    lines = [one_line(line) for line in text.split("\n") if line.strip()]
    text = ""
    for line in lines:
        text += ("" if not text else " " if text.endswith((",", ";", ":", ".", "–", "-")) else "; ") + line
    text = _NUMBERED.sub("", text).rstrip(" *†‡§")
    return without_stop(LEADER.sub(" … ", text).strip() if is_dotted(text) else text)


def _bold_of(texts: Sequence[Text], upto: int | None = None) -> Bold:
    """How much of the words of some texts, or of their first `upto` characters, is in bold."""
    looks: set[bool] = set()
    for text in texts:
        at = 0
        for run in text.runs or (Run(text.plain, bold=text.bold == "all"),):
            piece = run.text if upto is None else run.text[: max(0, upto - at)]
            at += len(run.text)
            if re.search(r"\w", piece):
                looks.add(run.bold)
    return "some" if len(looks) > 1 else "all" if True in looks else "none"


def marked(steps: Sequence[Step]) -> int:
    """How many steps at the head are marked by bold: none where any step is bold in part, or a later one is bold."""
    looks = [step.bold for step in steps]
    bold = looks.count("all")
    sure = "some" not in looks and "all" not in looks[bold:]
    return bold if sure else 0


def condition_of(line: str) -> str:
    """What must be so for the steps below a line (`If the wind is off the dock:`); empty where it is no condition."""
    words = one_line(line)
    if not words.endswith(":") or not _BRANCH.match(words):
        return ""
    return words[0].lower() + words[1:].rstrip(" :")


def parts_ways(steps: Sequence[Step]) -> bool:
    """Whether steps hold a case and its opposite: `If it turns: …`, `If it doesn't turn: …`."""
    cases = [step.text.casefold().split() for step in steps if _ONE_OF_TWO.match(step.text)]
    return len(cases) > 1 and any(
        not NEGATING.isdisjoint(words) or words[0] == "otherwise" for words in cases
    )


def listed_steps(block: List) -> Steps:
    """The steps of a list, in document order; sub-lists are part of their step."""
    found = Steps()
    condition = ""
    for item in block.items:
        if not item.below and (new := condition_of(item.text.plain)):
            condition = new
            continue
        step = _listed(item, found)
        if step is not None:
            found.steps.append(replace(step, condition=condition))
    return found


def _asides(text: str) -> tuple[str, str, str]:
    """A line's own words, the reason and what follows when it is skipped, where they stand in it."""
    marks = list(_ASIDE.finditer(text))
    said = {"reason": "", "skipped": ""}
    for mark, then in zip(marks, [*marks[1:], None], strict=False):
        said[mark.lastgroup or ""] = without_stop(text[mark.end() : then.start() if then else None])
    return (text[: marks[0].start()] if marks else text).strip(), said["reason"], said["skipped"]


def _listed(item: Item, found: Steps) -> Step | None:
    """A step with what stands below it: paragraphs are its reason, a list is part of it."""
    head, reason, skipped = _asides(item.text.plain)
    words = step_words(head)
    if is_placeholder(words):
        message = "a step of the list is left open"
        found.lacks("missing-answer", item.place, message, "write the step, or take it out")
        return None
    cure = "write what the step is in its own line"
    words = _with_code(words, item, found)
    reasons, inner = [reason], []
    extra: tuple[tuple[str, str], ...] = ()
    for below in item.below:
        if not isinstance(below, Paragraph | List):
            continue
        for sub in below.items if isinstance(below, List) else (Item(below.text, below.text.place),):
            rest, why, then = _asides(sub.text.plain)
            if rest and isinstance(below, List):
                inner.append(_with_below(step_words(rest), sub, found))
            elif rest and words.endswith(":"):
                words = f"{words} {step_words(rest)}"
            elif SIGNAL.match(rest) or _CASE.match(rest):
                extra += ((one_line(rest).partition(":")[0], one_line(rest)),)
            else:
                reasons.append(one_line(rest))
            reasons.append(why)
            skipped = then or skipped
    if inner:
        words = f"{words.rstrip(' :')}: {'; '.join(inner)}"
    elif words.endswith(":") and found.whole:
        found.lacks(
            "unrecognised-list", item.place, f"step `{shown(words)[:60]}` ends without its words", cure
        )
    why = without_stop(" ".join(filter(None, reasons)))
    return Step(words, item.place, _bold_of([item.text], len(head)), why, skipped, extra)


def _with_below(words: str, item: Item, found: Steps) -> str:
    """A sub-step with all that stands below it, in brackets."""
    words = _with_code(words, item, found)
    deeper: list[str] = []
    for below in item.below:
        if isinstance(below, Paragraph):
            deeper.append(step_words(below.text.plain))
        elif isinstance(below, List):
            deeper += [_with_below(step_words(sub.text.plain), sub, found) for sub in below.items]
    return f"{words.rstrip(' :')} ({'; '.join(deeper)})" if deeper else words


def _with_code(words: str, item: Item, found: Steps) -> str:
    """A step with the one line of code below it; around any other block the steps can't be asked for. Tables are
    blocks of their own."""
    others = [below for below in item.below if not isinstance(below, Paragraph | List | Table)]
    code = others[0].plain.strip() if others and isinstance(others[0], Code) and len(item.below) == 1 else ""
    if others and (not code or "\n" in code):
        message = f"step `{shown(words)[:60]}` goes on around another block"
        found.lacks("unrecognised-list", item.place, message, "put that below the list")
        return words
    return f"{words} {code}".rstrip()


def tabled_steps(match: Match) -> Steps:
    """The steps of a table, row by row: the step's own words, the item and the action, and what is expected."""
    found = Steps()
    table, spare = match.table, match.layout
    subject = next((role for role in ("item", "challenge") if role in match.columns), "")
    answers = Answers(match, subject=subject, what="action", ticks=False)
    columns: list[dict[str, str]] = []
    for row, cells in answers.rows():
        words = {role: one_line(text.plain) for role, text in cells.items()}
        step = _row_step(row, words, subject, answers)
        if step is None:
            continue
        answers.answered += 1
        bold = _bold_of(
            [cells[role] for role in ("item", "challenge", "action", "response") if role in cells]
        )
        texts = ((table.headers[at].plain, row.cells[at].plain) for at in spare if row.cells[at])
        extra = tuple((one_line(header), one_line(said)) for header, said in texts)
        found.steps.append(replace(step, bold=bold, extra=extra))
        columns.append(words)
    gaps = answers.said()
    found.findings += gaps
    found.whole = not gaps and bool(found.steps)
    source, ids, applies = (
        [*dict.fromkeys(words.get(role, "") for words in columns)] for role in ("source", "id", "applies")
    )
    found.source = "; ".join(filter(None, source))
    found.id = "".join(ids) if len([*filter(None, ids)]) == 1 else ""
    if len(applies) == 1:
        found.applies = applies[0]
    for at, words in enumerate(columns if len(applies) > 1 else ()):
        step, said = found.steps[at], words.get("applies")
        found.steps[at] = replace(step, text=f"{step.text} ({said})") if said else step
    return found


def _row_step(row: Row, words: Mapping[str, str], subject: str, answers: Answers) -> Step | None:
    number = words.get("step", "")
    named = "" if _NUMBER.fullmatch(number) else number
    item = words.get("item") or words.get("challenge", "")
    action = words.get("action") or words.get("response", "")
    if not action and (item or not named):
        answers.gap(row.place, item or number)
        return None
    if subject and not item and not named and len(action.split()) < 2:
        answers.nameless(row.place, subject)
        return None
    text = " … ".join(step_words(part) for part in dict.fromkeys((named, item, action)) if part)
    if expected := words.get("expected"):
        text = f"{text} ({without_stop(expected)})"
    reason, skipped = (without_stop(words.get(role, "")) for role in ("reason", "skipped"))
    return Step(text, row.place, "none", reason, skipped)


def with_bold_steps_listed(blocks: Sequence[Block]) -> Sequence[Block]:
    """Paragraphs side by side that are wholly in bold, line by line with a number, are a numbered list."""
    listed: list[Block] = []
    for numbered, run in groupby(blocks, lambda block: bool(_bold_lines(block))):
        same = [*run]
        items = tuple(item for block in same for item in _bold_lines(block))
        if numbered and len(items) > 1:
            lead = listed[-1].text if listed and isinstance(listed[-1], Paragraph) else None
            same = [List(items, True, (), items[0].place, lead)]
        listed += same
    return listed


def _bold_lines(block: Block) -> list[Item]:
    """The items of a paragraph wholly in bold that counts them; nothing where it doesn't."""
    if not isinstance(block, Paragraph) or block.text.bold != "all":
        return []
    place, (before, *texts) = block.text.place, _COUNTED.split(one_line(block.text.plain))
    bold = [Text(text.strip(), place, "all", (Run(text.strip(), bold=True),)) for text in texts]
    return [] if before else [Item(text, place) for text in bold]


def title_of(lead: Text | None, scope: Scope) -> str:
    """What a list of steps is called: a short line right above it, or else the heading, under the one above it
    where it names nothing itself (`Procedure`)."""
    if lead is not None:
        words = without_memory(one_line(lead.plain)).rstrip(" :.")
        short = len(words.split()) <= MOST_LEAD_WORDS and ". " not in lead.plain
        named = lead.bold == "all" or lead.plain.rstrip().endswith(":")
        if words and short and named and not _GENERAL_LEAD.match(words) and not SIGNAL.match(words):
            return words
    if not scope.topic:
        capitals = lead is not None and lead.plain.isupper() and len(lead.plain.split()) <= MOST_LEAD_WORDS
        return one_line(lead.plain) if lead is not None and capitals else scope.heading
    heading = scope.heading or scope.topic[-1]
    general = all(word in GENERAL or word.isdigit() for word in re.findall(r"\w+", heading.casefold()))
    above = next((part for part in reversed(scope.topic[:-1]) if part), "")
    if above and not without_memory(heading):
        return above
    return f"{above} – {heading}" if general and above else heading
