"""Cells in words: placeholders, several answers in one cell, ditto marks, and what is said of a row left empty."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import key_form, one_line, shown
from recall.kinds.tables.headers import COMMON, Match, unfilled
from recall.notes.model import Row, Text
from recall.quantity.things import left_open

_NONE = re.any_case(
    r"(?:none|nil|nothing|no|no (?:crew )?action|no override|no backup|not? (?:action )?"
    r"(?:available|required|needed|possible))\.?"
)
_MORSE = re.compile(r"(?=.*[.·•])(?=.*[\-\u2010-\u2015\u2212/])[.·•\-\u2010-\u2015\u2212\s/]+", re.DOTALL)
"""A letter of both signs; beside one, a lone stroke is a letter too."""
_STROKES = re.compile(r"[.·•\-\u2010-\u2015\u2212\s/]+")
_TICK = re.any_case(r"yes|no|y|n|x|true|false|[✓✔✗✘✕✖☑☒☐✅❌]\ufe0f?")
_STOP = re.compile(r"(?<!\w\.\w)(?<!\betc)(?<=[\w)\]”\"'%°])\.$")
MARK = re.compile(r"^(?:[-*•‣▪–]\s+|\(?\d{1,2}[.)]\s+)")
_LAST = re.compile(r"\w+(?=\W*$)")
_RUNS_ON = re.compile(
    r"\(|(?:and|or|but|then|nor|of|to|by|with|in|on|at|for|from|until|unless|when|while|if|which|that|the|a|an)\b"
)
_POSED = re.compile(
    r"\s*((?:what|which|who|whose|how|where|when|why|by|at|to|for|on|in) [^?]{3,150}\?)\s+(\S.*)",
    re.IGNORECASE | re.DOTALL,
)
"""A question in a cell, before its answer."""
_SPOKEN = {"then": "effect", "means": "meaning", "it means": "meaning", "feeds": "load"}
"""Headers that are no names of what stands below them."""
_TIES = re.any_case(r"(?:and|or|but|then|nor|else|otherwise)\b")


def is_placeholder(text: str) -> bool:
    """Whether a cell is left open: blank, a dash, `N/A`, `TBD`, `?`, "see table below"."""
    return left_open(one_line(text))


def is_tick(text: str) -> bool:
    """Whether a cell is a mere tick, `yes` or `no`: no answer that can be asked for."""
    return _TICK.fullmatch(one_line(text)) is not None


def without_stop(text: str) -> str:
    """A phrase without the stop at its end; several sentences keep theirs, and so do abbreviations (`etc.`)."""
    text = one_line(text)
    if _STOP.search(text) and ". " not in text:
        return text[:-1].rstrip()
    return text.rstrip(";,").rstrip()


def parts_of(text: str) -> tuple[str, ...]:
    """The answers in one cell, parted by `;` or a line end; a line that runs on is no new one, and answers tied
    by a word (`; and`, `; or`) stay one."""
    lines: list[str] = []
    for line in text.split("\n"):
        piece, above = MARK.sub("", line.strip()), lines[-1] if lines else ""
        open_ended = above.endswith((",", "/", "-", "–")) or above.count("(") > above.count(")")
        if piece and above and (open_ended or _RUNS_ON.match(piece)):
            lines[-1] += " " + piece
        elif piece:
            lines.append(piece)
    parts = [MARK.sub("", part.strip()) for line in lines for part in split_at(line, ";") if part.strip()]
    if any(_TIES.match(part) for part in parts[1:]):
        parts = [one_line(" ".join(lines))]
    unlike: dict[str, str] = {}
    for part in parts:
        unlike.setdefault(key_form(part), without_stop(part))
    return tuple(part for part in unlike.values() if part)


def posed(cell: str) -> tuple[str, str]:
    """A cell that says what is to be asked (`What carries the bus? One unit`): the question, and its answer; no
    question where it says none."""
    found = _POSED.match(cell)
    return (one_line(found[1]), found[2]) if found else ("", cell)


def says_none(text: str) -> bool:
    """Whether a cell says that there is nothing: true, worth showing, and no answer to ask for."""
    return _NONE.fullmatch(one_line(text)) is not None


def phrase(text: str) -> tuple[str, ...]:
    """A cell as one answer; none where it says that there is none."""
    return () if says_none(text) else (without_stop(text),)


def orders(text: str) -> tuple[str, ...]:
    """An action as one text: lines of a cell are its steps in order; none where there is nothing to do."""
    if says_none(text):
        return ()
    lines = (line.strip(" ;") for line in text.split("\n"))
    return (without_stop("; ".join(line for line in lines if line)),)


def split_at(line: str, signs: str) -> list[str]:
    """Split at commas, semicolons or both that no bracket holds and no number."""
    pieces, depth = [""], 0
    for at, sign in enumerate(line):
        depth += (sign in "([") - (sign in ")]" and depth > 0)
        number = sign == "," and line[at - 1 : at].isdigit() and re.match(r"\d{3}\b", line[at + 1 :])
        if sign in signs and not depth and not number:
            pieces.append("")
        else:
            pieces[-1] += sign
    return pieces


@dataclass(slots=True)
class Answers:
    """The rows of a table, and what of them lacks an answer. subject: the role that names a row; what: the answer
    due, as messages name it; ticks: whether a mere tick or `yes` counts as a cell left open."""

    match: Match
    subject: str
    what: str
    ticks: bool = True
    answered: int = 0
    carried: bool = False
    """Whether the row at hand has its subject from the row above."""
    findings: list[Finding] = field(default_factory=list)
    gaps: list[Finding] = field(default_factory=list)

    def __post_init__(self) -> None:
        """The answer as messages name it."""
        self.what = _SPOKEN.get(self.what, self.what)

    def rows(self) -> Iterator[tuple[Row, dict[str, Text]]]:
        """Each row with its cells by role, placeholders left out."""
        table, roles = self.match.table, self.match.roles
        morse = {at for at in roles if any(_MORSE.fullmatch(row.cells[at].plain) for row in table.rows)}
        for row in table.rows:
            self.carried = (row.place.line, self.match.subject) in self.match.sheet.carried
            cells = {
                role: row.cells[at]
                for at, role in roles.items()
                if not self._open(row.cells[at], role, at in morse)
            }
            if cells:
                yield row, cells
            elif any(row.cells[at] for at in roles):
                self.gap(row.place, "")

    def _open(self, cell: Text, role: str, morse: bool) -> bool:
        text = one_line(cell.plain)
        if morse and text and _STROKES.fullmatch(text):
            return False
        if role == self.subject:
            return not text or _STROKES.fullmatch(text) is not None
        return is_placeholder(text) or (self.ticks and role not in COMMON and is_tick(text))

    def gap(self, place: Place, subject: str) -> None:
        """A row whose answer is missing."""
        message = f"row has no {self.what}" + (f" for `{shown(one_line(subject))}`" if subject else "")
        help = f"fill in the {self.what}, or take the row out"
        self.gaps.append(finding("missing-answer", place, message, help))

    def nameless(self, place: Place, subject: str) -> None:
        """A row that doesn't say what it is about: same as above in one file, a spacer in another."""
        self.answered += 1
        message = f"row doesn't say its {subject}: a blank cell is not read as the one above"
        self.findings.append(finding("missing-answer", place, message, f"repeat the {subject} in the row"))

    def said(self) -> list[Finding]:
        """All findings: one for a table with no answer at all, else one a row."""
        if self.answered:
            return sorted(self.findings + self.gaps, key=lambda said: said.place.line)
        if self.gaps or not (self.findings or self.match.sheet.findings):
            help = f"fill in the {self.what}, or take the table out"
            return [*self.findings, unfilled(self.match.table, "has no answers at all", help)]
        return self.findings


def within(cells: Mapping[str, Text], role: str) -> Text:
    """The cell that names a row, with the thing it is of where another column gives that: `Pump, stuck open`."""
    cell, of = cells[role], cells.get("of")
    if of is None or role == "of":
        return cell
    return replace(cell, plain=f"{one_line(of.plain)}, {one_line(cell.plain)}", runs=())


def conditions(cells: Mapping[str, Text], roles: Collection[str], under: str = "") -> str:
    """The conditions that other columns put on a row, behind that of all rows."""
    said = (one_line(cell.plain) for role, cell in cells.items() if role in roles)
    return ", ".join(part for part in (under, *said) if part)


def leaks(prompt: str, answers: Sequence[str]) -> bool:
    """Whether a question says its own answer: all of the words of one, next to each other."""
    folded = prompt.casefold()
    near = [answer for answer in answers if (last := _LAST.search(answer)) and last[0].casefold() in folded]
    if not near:
        return False
    from recall.answers.tokens import words_said

    asked = " " + " ".join(words_said(prompt)) + " "
    return any(words and f" {' '.join(words)} " in asked for words in map(words_said, near))
