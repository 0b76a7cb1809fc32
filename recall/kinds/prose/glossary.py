"""How a glossary is laid out: which column holds the letters, which bullets fit, where one meaning ends."""

from collections.abc import Mapping, Sequence

from recall.base import regex as re
from recall.base.dataclass import dataclass, field, replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line, shown
from recall.kinds.model import Cells, Point, Scope, base_point
from recall.kinds.prose import shortform
from recall.kinds.prose.sentence import is_clause, without_marks
from recall.kinds.tables.cells import is_placeholder, parts_of, without_stop
from recall.kinds.tables.joining import union
from recall.notes.model import Table, Text

KEYS = ("abbreviation", "acronym", "term", "symbol", "code")
"""Roles of a column that holds the letters. In a table of two of them one holds the words: `Acronym | Term`."""

_LIKELY = ("acronym", "abbreviation", "symbol", "code", "term")
"""Which of two such columns holds the letters, where the cells don't tell."""
_GLOSSARY = re.any_case(
    r"\b(?:abbreviations?|abbrevs?|acronyms?|initialisms?|glossary|terms|terminology|nomenclature|symbols|words|vocabulary|"
    r"v[- ]?speeds?|definitions?|list of codes|short forms?)\b"
)
_CUT = re.compile(r"[A-Za-z][a-z]{1,4}\.?")
"""Words cut short (`alt`, `Hdg.`), which are abbreviations only where they agree with their words."""
_ALSO = re.any_case(r"^(?:also|sometimes|elsewhere):?\s+(?=\w)")
_STROKE = re.compile(r"\s*/\s*")
_ALSO_BESIDE = re.any_case(r"\s*\((?:also|or):?\s+([^()]+)\)$")
_IN_BRACKETS = re.compile(r"^\(([^()]+)\)$")
_MOST_IN_TERM = 5
_MOST_BETWEEN = 6
_FOOTNOTE = re.compile(r"\s*(?:[*†‡§]+|\[\^?\w{1,2}\])$")
_NAMED = re.compile(r"\[(?P<term>[^\[\]]+)\]\s*\{#(?P<id>[\w-]+)\}")
"""A term with its id: `[term]{#id}`."""
_MOST_CODE = 4
"""Letters of a code that needn't agree with its words."""
_SOFTWARE = re.any_case(
    r"\b(?:errors?|errno|exit|return|http|status|response|api|rest|cli|environment|config(?:uration)?|command|"
    r"endpoints?|methods?)\b"
)
"""Headings over codes of programs."""
_CLAUSE = re.any_case(r"(?:it|they|this|the|which|also see|see)\b")
_NUMBERED = re.compile(r"\s*(?:^|\s)\(?[1-9][.)]\s+")
_SEE = re.any_case(r"see (?:also )?(?!(?:through|and)\b)\S")


def is_glossary(*above: str) -> bool:
    """Whether headings or a lead say that abbreviations follow."""
    return any(_GLOSSARY.search(text) for text in above)


def meanings_of(term: str, words: str) -> tuple[str, ...]:
    """The meanings in one text: parted by a line end, numbered, or short ones parted by `;`. A line end inside words
    that agree with the letters only as a whole is no border; footnote marks are no words."""
    words = without_marks(words)
    if (also := _ALSO_BESIDE.search(words)) and shortform.agrees(term, also[1]):
        return (without_stop(words[: also.start()]), without_stop(also[1]))
    words = _NUMBERED.sub("\n", words).strip() if _NUMBERED.match(words) else words
    whole = one_line(words)
    lines = words.split("\n")
    if shortform.agrees(term, whole) and not any(
        shortform.agrees(term, part) for part in lines[:-1] + lines[1:]
    ):
        words = whole
    if "\n" not in words and not all(map(_is_short, whole.split(";"))):
        return (without_stop(whole),)
    parts = parts_of(words)
    return (*parts[:1], *(_ALSO.sub("", part) for part in parts[1:]))


def _side_by_side(letters: str, words: Sequence[str]) -> list[tuple[str, str]]:
    """Several terms with as many meanings in one entry: `RX / TX`, `receive / transmit`."""
    terms, meant = _STROKE.split(letters), _STROKE.split(words[0]) if len(words) == 1 else []
    pairs = list(zip(terms, meant, strict=False))
    return (
        pairs
        if len(terms) == len(meant) > 1
        and all(len(term) > 1 and shortform.agrees(term, of) for term, of in pairs)
        else []
    )


def _is_short(part: str) -> bool:
    """Whether a piece between semicolons is a meaning of its own, and no clause."""
    return len(part.split()) <= _MOST_BETWEEN and not _CLAUSE.match(part.strip()) and not is_clause(part)


@dataclass(slots=True)
class Glossary:
    """The entries of one block. place: where findings stand, if not at each term."""

    scope: Scope
    place: Place | None = None
    points: list[Point] = field(default_factory=list)
    findings: list[Finding] = field(default_factory=list)

    def add(self, term: Text, *words: str, noun: str = "", cells: Cells | None = None) -> Point | None:
        """One entry, whose meanings are all those of `words`; where there are none, that is told. noun: what the
        term is, where its column says so."""
        letters = one_line(without_marks(term.plain))
        if pairs := _side_by_side(letters, words):
            added = [
                self.add(replace(term, plain=one, runs=()), of, noun=noun, cells=cells) for one, of in pairs
            ]
            return added[0]
        meanings: tuple[str, ...] = ()
        for text in words:
            if not _SEE.match(text) and (
                cells or not is_placeholder(text) or shortform.agrees(letters, text)
            ):
                more = meanings_of(letters, _ALSO.sub("", text) if meanings else text)
                meanings = union(meanings, more)
        place = self.place or term.place
        if not meanings:
            help = "write what it stands for, or take it out"
            self.findings.append(finding("missing-answer", place, f"`{shown(letters)}` has no meaning", help))
            return None
        if not letters:
            return None
        point = base_point("abbreviation", term, self.scope, cells, marks=cells is not None)
        named = _NAMED.fullmatch(point.subject)
        if named:
            point.subject, point.id = named["term"].strip(), named["id"]
        point.subject = _FOOTNOTE.sub("", without_marks(point.subject)).strip('"“”') or point.subject
        if noun in ("", "abbreviation", "term"):
            short = noun == "abbreviation" or shortform.looks_short(point.subject)
            noun = "abbreviation" if short else "term"
        point.wording["noun"] = noun
        point.fields["meaning"] = meanings
        if cells and "role" in cells:
            point.fields["role"] = (without_stop(cells["role"].plain),)
        self.points.append(point)
        if len(meanings) > 1:
            listed = ", ".join(f"`{shown(text)}`" for text in meanings)
            said = f"`{shown(point.subject)}` has several meanings: {listed}"
            help = "both are asked for as a set; where only one holds here, keep that one"
            self.findings.append(finding("ambiguous-abbreviation", place, said, help))
        return point

    def left(self, place: Place, message: str, help: str) -> None:
        """Something of the block isn't read."""
        self.findings.append(finding("unrecognised-list", place, message, help))


def columns_of(table: Table, roles: Mapping[int, str]) -> tuple[int, int] | None:
    """The columns of the letters and of the words."""
    keys = [column for column, role in roles.items() if role in KEYS]
    if (
        len(table.headers) == 2 and not any(table.headers) and table.rows
    ):  # nothing but its place says what it is
        least = len(table.rows) * (1 if is_glossary(*table.topic[-2:]) else 2)
        return (0, 1) if _agreeing(table, 0, 1) * 3 >= least else None
    meaning = next((column for column, role in roles.items() if role == "meaning"), None)
    if not keys and meaning is not None:
        keys = [
            at for at in range(len(table.headers)) if at not in roles and _holds_letters(table, at, meaning)
        ]
        return (keys[0], meaning) if len(keys) == 1 else None
    if not keys or (len(keys) == 1 and meaning is None):
        return None
    shorts = {at: sum(shortform.looks_short(row.cells[at].plain) for row in table.rows) for at in keys}
    best = max(keys, key=lambda column: (shorts[column], -_LIKELY.index(roles[column]), -column))
    others = [column for column in keys if column != best] + ([] if meaning is None else [meaning])
    if (meaning is None and len(others) > 1) or (
        roles[best] == "code" and not _are_codes(table, best, others[-1])
    ):
        return None
    return best, max(others, key=lambda column: _agreeing(table, best, column))


def _agreeing(table: Table, key: int, words: int) -> int:
    """In how many rows the letters agree with the words."""
    return sum(shortform.agrees(row.cells[key].plain, row.cells[words].plain) for row in table.rows)


def _holds_letters(table: Table, key: int, words: int) -> bool:
    """Whether a column whose header says nothing of it surely holds the letters: short ones without any header, or
    initials of the words beside them under any."""
    pairs = [(row.cells[key].plain, row.cells[words].plain) for row in table.rows]
    short = [(term, meaning) for term, meaning in pairs if shortform.looks_short(term)]
    spelt = sum(shortform.spells(meaning, term) for term, meaning in short)
    bare = not one_line(table.headers[key].plain)
    return (bare and len(short) * 3 >= len(pairs) * 2) or (spelt > 1 and spelt * 2 > len(pairs))


def _are_codes(table: Table, key: int, words: int) -> bool:
    """Whether cells under Code are those of a trade (`BR`, `-RA`), or letters that agree with their words; names that
    programs use (`` `E42` ``, `ENOENT`) aren't."""

    def likely(term: Text, meaning: Text) -> bool:
        plain = one_line(term.plain)
        if (term.runs and all(run.code for run in term.runs)) or not shortform.looks_short(plain):
            return False
        return sum(map(str.isalpha, plain)) <= _MOST_CODE or shortform.agrees(plain, meaning.plain)

    rows = [row for row in table.rows if row.cells[key]]
    codes = sum(likely(row.cells[key], row.cells[words]) for row in rows)
    return 0 < len(rows) * 2 <= codes * 3 and not _SOFTWARE.search(" / ".join(table.topic))


@dataclass(frozen=True, slots=True)
class Bullet:
    """A bullet of a glossary. words: empty where they are still to be written; sure: its letters agree with them."""

    term: str
    words: str
    sure: bool = False


def _beside(text: Text) -> tuple[str, str] | None:
    """Letters with the words that they agree with right behind, in brackets or not: `EB (emergency brake)`."""
    term, _, words = one_line(without_marks(text.plain)).partition(" ")
    words = _IN_BRACKETS.sub(r"\1", words)
    return (term, words) if shortform.looks_short(term) and shortform.agrees(term, words) else None


def read_bullet(text: Text, told: bool) -> Bullet | None:
    """A bullet whose head is letters and whose rest could be their words. told: it stands in a glossary, where a bold
    head may be any term."""
    pair = shortform.split_term(text) or _beside(text)
    if pair is None:
        return None
    term, words = pair
    short, agrees = shortform.looks_short(term), shortform.agrees(term, words)
    if (short and agrees) or _side_by_side(term, [words]):
        return Bullet(term, words, short and agrees)
    if short and is_placeholder(words):
        return Bullet(term, "")
    if shortform.starts_with_number(words):
        return None
    letters = (short or (agrees and _CUT.fullmatch(term))) and not shortform.is_sentence(words)
    bold = told and text.lead is not None and text.lead.bold and len(term.split()) <= _MOST_IN_TERM
    return Bullet(term, words) if letters or (bold and not shortform.is_signal(term)) else None
