"""How a glossary is laid out: which column holds the letters, which bullets fit, where one meaning ends."""

from collections.abc import Mapping
from dataclasses import dataclass

from recall.base import regex as re
from recall.base.text import one_line
from recall.kinds.prose import shortform
from recall.kinds.prose.sentence import has_verb, without_marks
from recall.kinds.tables.cells import is_placeholder, parts_of, without_stop
from recall.kinds.tables.headers import names_of
from recall.notes.model import Table, Text

KEYS = ("abbreviation", "acronym", "term", "symbol", "code")
"""Roles of a column that holds the letters. In a table of two of them one holds the words: `Acronym | Term`."""

_LIKELY = ("acronym", "abbreviation", "symbol", "code", "term")
"""Which of two such columns holds the letters, where the cells don't tell."""
_GLOSSARY = re.compile(
    r"\b(?:abbreviations?|abbrevs?|acronyms?|initialisms?|glossary|terms|terminology|nomenclature|symbols|words|vocabulary|"
    r"v[- ]?speeds?|definitions?|list of codes|short forms?)\b",
    re.IGNORECASE,
)
_CUT = re.compile(r"[A-Za-z][a-z]{1,4}\.?")
"""Words cut short (`alt`, `Hdg.`), which are abbreviations only where they agree with their words."""
_ALSO = re.compile(r"^(?:also|sometimes|elsewhere):?\s+(?=\w)", re.IGNORECASE)
_UNMEANT = re.compile(r"(\S{1,12})\s*[-\u2010-\u2015:=.]+")
_BRACKETED = re.compile(r"(\S{2,12}) \(([^()]+)\)")
_MOST_IN_TERM = 5
_MOST_BETWEEN = 6
_CLAUSE = re.compile(r"(?:it|they|this|which|also see|see)\b", re.IGNORECASE)
_NUMBERED = re.compile(r"\s*(?:^|\s)\(?[1-9][.)]\s+")


def is_glossary(*above: str) -> bool:
    """Whether headings or a lead say that abbreviations follow."""
    return any(_GLOSSARY.search(text) for text in above)


def meanings_of(term: str, words: str) -> tuple[str, ...]:
    """The meanings in one text: parted by a line end, numbered, or short ones parted by `;`. A line end inside words
    that agree with the letters only as a whole is no border; footnote marks are no words."""
    words = without_marks(words)
    whole = one_line(words)
    lines = words.split("\n")
    if shortform.agrees(term, whole) and not any(
        shortform.agrees(term, part) for part in lines[:-1] + lines[1:]
    ):
        words = whole
    numbered = [part.strip(" ;,") for part in _NUMBERED.split(whole)]
    if len(numbered) > 2 and not numbered[0]:
        return tuple(without_stop(part) for part in numbered[1:] if part)
    if ";" in whole and "\n" not in words and not all(map(_is_short, whole.split(";"))):
        return (without_stop(whole),)
    parts = parts_of(words) or (without_stop(whole),)
    return (parts[0], *(_ALSO.sub("", part) for part in parts[1:]))


def _is_short(part: str) -> bool:
    """Whether a piece between semicolons is a meaning of its own, and no clause."""
    return len(part.split()) <= _MOST_BETWEEN and not _CLAUSE.match(part.strip()) and not has_verb(part)


def columns_of(table: Table, roles: Mapping[int, str]) -> tuple[int, int] | None:
    """The columns of the letters and of the words."""
    keys = {role: column for column, role in roles.items() if role in KEYS}
    meaning = next((column for column, role in roles.items() if role == "meaning"), None)
    if not keys and meaning is not None:
        blank = [
            at
            for at, name in enumerate(names_of(table))
            if not name and _shorts(table, at) * 3 >= len(table.rows) * 2
        ]
        return (blank[0], meaning) if len(blank) == 1 else None
    if meaning is not None and len(keys) == 1:
        return next(iter(keys.values())), meaning
    if len(keys) > 1:
        shorts = {column: _shorts(table, column) for column in keys.values()}
        best = max(shorts, key=lambda column: (shorts[column], -_LIKELY.index(roles[column]), -column))
        others = [column for column in shorts if column != best]
        if meaning is None:
            return (best, others[0]) if len(others) == 1 else None
        return best, _words_column(table, best, (*others, meaning))
    return None


def _words_column(table: Table, key: int, columns: tuple[int, ...]) -> int:
    """Of several columns of words, the one with which the letters agree most often."""
    return max(
        columns,
        key=lambda column: sum(
            shortform.agrees(row.cells[key].plain, row.cells[column].plain) for row in table.rows
        ),
    )


def _shorts(table: Table, column: int) -> int:
    return sum(shortform.looks_short(row.cells[column].plain) for row in table.rows)


def pairs_of(table: Table, columns: tuple[int, int]) -> list[tuple[int, int]]:
    """The pair of columns, and its repetitions side by side."""
    names = names_of(table)
    keys = [column for column, name in enumerate(names) if name == names[columns[0]]]
    words = [column for column, name in enumerate(names) if name == names[columns[1]]]
    return list(zip(keys, words, strict=True)) if len(keys) == len(words) > 1 else [columns]


@dataclass(frozen=True, slots=True)
class Bullet:
    """A bullet of a glossary. words: empty where they are still to be written; short: it looks like letters;
    agrees: the letters agree with the words."""

    term: str
    words: str
    short: bool
    agrees: bool


def _beside(text: Text) -> tuple[str, str] | None:
    """Letters with the words that they agree with right behind, in brackets or after bold: `EB (emergency brake)`."""
    plain, lead = one_line(without_marks(text.plain)), text.lead
    found = _BRACKETED.fullmatch(plain)
    term, words = (found[1], found[2]) if found else ("", "")
    if lead and lead.bold and plain.startswith(lead.text.strip()):
        term, words = lead.text.strip(), plain[len(lead.text.strip()) :].strip()
    return (term, words) if shortform.looks_short(term) and shortform.agrees(term, words) else None


def read_bullet(text: Text, told: bool) -> Bullet | None:
    """A bullet whose head is letters and whose rest could be their words. told: it stands in a glossary, where a bold
    head may be any term."""
    pair = shortform.split_term(text) or _beside(text)
    if pair is None:
        bare = _UNMEANT.fullmatch(one_line(text.plain))
        return Bullet(bare[1], "", True, False) if bare and shortform.looks_short(bare[1]) else None
    term, words = pair
    agrees = shortform.agrees(term, words)
    short = shortform.looks_short(term)
    if short and is_placeholder(words) and not agrees:
        return Bullet(term, "", True, False)
    if words.startswith(("http://", "https://", "www.")):
        return None
    if agrees and (short or (_CUT.fullmatch(term) and not shortform.is_sentence(words))):
        return Bullet(term, words, True, True)
    if shortform.starts_with_number(words):
        return None
    if short and not shortform.is_sentence(words):
        return Bullet(term, words, True, False)
    lead = text.lead
    if told and lead and lead.bold and len(term.split()) <= _MOST_IN_TERM and not shortform.is_signal(term):
        return Bullet(term, words, short, False)
    return None
