"""The kind `abbreviation`: what letters stand for. Tables, definition lists, bullets, and headings of a glossary."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.base import regex as re
from recall.base.finding import Finding, Place, finding
from recall.base.text import key_form, one_line, shown
from recall.kinds.each.indication import says_messages
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Cells, Draft, Point, Read, Scope, base_point
from recall.kinds.prose import shortform
from recall.kinds.prose.abbreviation_ask import questions
from recall.kinds.prose.glossary import KEYS, columns_of, is_glossary, meanings_of, pairs_of, read_bullet
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.sentence import has_verb, without_marks
from recall.kinds.steps.telling import is_position
from recall.kinds.tables.cells import Answers, is_placeholder, without_stop
from recall.kinds.tables.joining import joined, union
from recall.notes.model import Definitions, Heading, Item, List, Paragraph, Table, Text

_MOST_TYPED = 9
"""Words that may stand for letters with which they don't agree."""
_FOOTNOTE = re.compile(r"\s*(?:[*†‡§]+|\[\^?\w{1,2}\])$")
_NAMED = re.compile(r"\[(?P<term>[^\[\]]+)\]\s*\{#(?P<id>[\w-]+)\}")
"""A term with its id: `[term]{#id}`."""
_MOST_CODE = 4
"""Letters of a code that needn't agree with its words."""
_SOFTWARE = re.compile(
    r"\b(?:errors?|errno|exit|return|http|status|response|api|rest|cli|environment|config(?:uration)?|command|"
    r"endpoints?|methods?)\b",
    re.IGNORECASE,
)
"""Headings over codes of programs."""
_STRUCTURE = re.compile(r"^\s*(?:[-*•]|\d+[.)])\s| \| ", re.MULTILINE)
"""A list or a table below a heading: more than words for its letters."""
_AMBIGUOUS = "both are asked for as a set; where only one holds here, keep that one"


class Abbreviation(Kind):
    """Letters and what they stand for; several meanings of one key are one point."""

    name = "abbreviation"
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What does {it} stand for?", "{it}: what do the letters mean?", "Spell out {it}."),
        ("Which abbreviation stands for {it}?", "What is {it} for short?"),
    )
    aspects = ("meaning", "abbreviation", "whose-role")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(
        """
        abbreviation: abbreviation, abbr, abbrev, abbrv, abv, short form, short, initialism, initials,
            abbreviated, abbreviated form, abbreviation/acronym, acronym/abbreviation, abbreviation or
            acronym, acronym or abbreviation, abbreviations and acronyms, acronyms and abbreviations, acronyms
            /common terms/code, acronym / term, acronym/term, term/acronym, term / acronym, abbreviation /
            term, abbreviation/term, term/abbreviation, letters, v-speed, v speed
        acronym: acronym
        term: term, terminology, glossary term
        symbol: symbol
        code: code, contraction, designator
        meaning: meaning, definition, stands for, full form, full name, full term, full text, full meaning,
            expansion, expanded form, expanded, long form, in full, spelled out, spelt out, written out,
            means, what it stands for, what it means, it stands for, stand for, explanation, description,
            plain language, plain english, decode, unabbreviated, phrase, words, long
        role: role, function, purpose, what it does, use, used for, job, task
        """
    )
    required = (KEYS, ("meaning",))
    title = "Abbreviations"
    sheet: ClassVar[Mapping[str, str]] = {"": "Abbreviation", "meaning": "Meaning"}
    shown = ("role",)
    by_item = True
    owns_below = False

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Letters and their words, a second and third pair side by side too; of two columns that could hold the
        letters, the cells decide."""
        columns = columns_of(table, roles)
        if columns is None or not self._fits(table, roles, columns):
            return None
        pairs = pairs_of(table, columns)
        used = {column for column, role in roles.items() if role not in KEYS}
        used |= {column for pair in pairs for column in pair}
        shown = [at for at in range(len(table.headers)) if at not in used or roles.get(at) in self.shown]
        subject = columns[0] if len(pairs) == 1 else -1
        return Match(roles, len(used), subject, shown, layout=pairs, telling=(), due=columns[1:])

    def _fits(self, table: Table, roles: Mapping[int, str], columns: tuple[int, int]) -> bool:
        key, _ = columns
        cells = [row.cells[key].plain for row in table.rows if row.cells[key]]
        if roles.get(key) == "code":
            words = columns[1]
            likely = [_is_code(row.cells[key], row.cells[words]) for row in table.rows if row.cells[key]]
            return (
                bool(cells)
                and sum(likely) * 3 >= len(cells) * 2
                and not _SOFTWARE.search(" / ".join(table.topic))
            )
        return True

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Points of a glossary, row by row, pair by pair."""
        roles, pairs = match.roles, match.layout
        columns = key, _ = pairs[0]
        noun = roles.get(key, "abbreviation").replace("acronym", "abbreviation")
        others = {
            column: role
            for column, role in roles.items()
            if column not in columns and role not in (*KEYS, "meaning")
        }
        points: list[Point] = []
        findings: list[Finding] = []
        for pair in pairs:
            own = {pair[0]: "key", pair[1]: "meaning", **others}
            answers = Answers(match, "key", "meaning", ticks=False, roles=own)
            for row, cells in answers.rows():
                letters, words = row.cells[pair[0]], row.cells[pair[1]]
                if "meaning" not in cells and shortform.agrees(letters.plain, words.plain):
                    cells["meaning"] = words
                if "key" not in cells:
                    answers.nameless(row.place, "abbreviation")
                elif "meaning" not in cells:
                    answers.gap(row.place, letters.plain)
                else:
                    answers.answered += 1
                    point = _point(
                        cells["key"], meanings_of(letters.plain, cells["meaning"].plain), noun, scope, cells
                    )
                    points.append(point)
                    answers.findings += _ambiguous(point)
            findings += answers.said()
        return points, findings

    def read_definitions(self, block: Definitions, scope: Scope) -> Read | None:
        """A glossary: each definition is a meaning. Terms that aren't abbreviations need a heading that says so."""
        told = is_glossary(*scope.topic)
        points: list[Point] = []
        findings: list[Finding] = []
        for entry in block.entries:
            short = shortform.looks_short(without_marks(entry.term.plain))
            words: tuple[str, ...] = ()
            for text in entry.meanings:
                if not is_placeholder(text.plain) or shortform.agrees(entry.term.plain, text.plain):
                    words = union(words, meanings_of(entry.term.plain, text.plain))
            if not words:
                findings.append(_unmeant(entry.term.place, entry.term.plain))
            elif entry.term and (told or short):
                points.append(_point(entry.term, words, "abbreviation" if short else "term", scope))
                findings += _ambiguous(points[-1])
            elif entry.term:
                findings.append(_no_term(entry.term))
        return (points, findings) if points else None

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """A list whose items nearly all give letters and their words; stray ones in a list of prose aren't read."""
        told = is_glossary(*scope.topic[-2:], block.lead.plain if block.lead else "")
        if not told and says_messages(scope, block.lead):
            return None
        read = [(item, read_bullet(item.text, told)) for item in block.items]
        fitting = [bullet for _, bullet in read if bullet]
        sure = sum(shortform.looks_short(bullet.term) and bullet.agrees for bullet in fitting)
        if told:
            enough = len(fitting) * 2 > len(read) and (len(fitting) > 1 or sure > 0)
        else:
            lone = len(read) == 1 and (lead := block.items[0].text.lead) is not None and lead.bold
            enough = len(fitting) * 3 >= len(read) * 2 and sure * 2 > len(read) and (sure > 1 or lone)
        if not enough:
            return None
        points: list[Point] = []
        findings: list[Finding] = []
        for item, bullet in read:
            if bullet is None:
                continue
            if not bullet.words:
                findings.append(_unmeant(item.place, bullet.term))
                continue
            noun = "abbreviation" if bullet.short else "term"
            letters = Text(bullet.term, item.text.place)
            points.append(_point(letters, meanings_of(bullet.term, bullet.words), noun, scope))
            findings += _ambiguous(points[-1])
            for below in item.below:
                nested = self.read_list(below, scope) if isinstance(below, List) else None
                if nested:
                    points += nested[0]
                    findings += nested[1]
                elif isinstance(below, Paragraph):
                    points[-1].extra += (("More", one_line(below.text.plain)),)
                else:
                    findings.append(_stray(item))
        return points, findings

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A paragraph of nothing but letters in bold and the words that they surely stand for."""
        lead = block.text.lead
        bullet = read_bullet(block.text, is_glossary(*scope.topic[-2:])) if lead and lead.bold else None
        if bullet is None or not (bullet.words and bullet.agrees and shortform.looks_short(bullet.term)):
            return None
        if (
            is_position(bullet.term.casefold())
            or shortform.is_sentence(bullet.words)
            or has_verb(bullet.words)
        ):
            return None
        point = _point(
            Text(bullet.term, block.text.place), meanings_of(bullet.term, bullet.words), "abbreviation", scope
        )
        return [point], _ambiguous(point)

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """A heading of letters with their words as its only paragraph; two lines are two meanings."""
        term = one_line(heading.text.plain)
        words, _, rest = body.strip().partition("\n\n")
        if not shortform.looks_short(term) or _STRUCTURE.search(body):
            return None
        if is_placeholder(words) or shortform.starts_with_number(words):
            return None
        meanings = meanings_of(term, words)
        agrees = all(shortform.agrees(term, meaning) for meaning in meanings)
        if not is_glossary(*scope.topic) and (rest or not agrees):
            return None
        if len(meanings) > 1 and not agrees:
            meanings, rest = meanings[:1], "\n".join((*meanings[1:], rest))
            agrees = shortform.agrees(term, meanings[0])
        if not agrees and (rest or len(words.split()) > _MOST_TYPED or shortform.is_sentence(words)):
            return None
        point = _point(heading.text, meanings, "abbreviation", scope)
        point.id = heading.id
        if one_line(rest):
            point.extra += (("More", one_line(rest)),)
        return [point], _ambiguous(point, place)

    def joins(self, first: Point, second: Point) -> Point | None:
        """Several meanings of one key are one point; all of it said twice is no joining."""
        roles = first.fields.get("role", ()), second.fields.get("role", ())
        meanings = first.fields["meaning"], second.fields["meaning"]
        if roles[0] == roles[1] and set(map(key_form, meanings[0])) == set(map(key_form, meanings[1])):
            return None
        fields = {**first.fields, "meaning": (*meanings[0], *_added(first, second))}
        if role := union(*roles):
            fields["role"] = role
        return joined(first, second, fields)

    def join_findings(self, first: Point, second: Point) -> list[Finding]:
        """What the earlier place doesn't say, or that it says it all."""
        before = f"in {shown(first.place.file)} line {first.place.line}"
        added = _added(first, second)
        if not added:
            said = f"`{shown(second.subject)}` is explained again, the same as {before}"
            return [finding("duplicate-point", second.place, said, "keep one of them")]
        meant = shown(first.fields["meaning"][0])
        said = f"`{shown(second.subject)}` is `{shown(added[0])}` here and `{meant}` {before}"
        return [finding("ambiguous-abbreviation", second.place, said, _AMBIGUOUS)]

    def drafts(self, point: Point) -> list[Draft]:
        """What it stands for, which letters stand for that, and what it is for."""
        return questions(point)


def _is_code(term: Text, words: Text) -> bool:
    """Whether a cell under Code is one of a trade (`BR`, `-RA`), or letters that agree with their words; names that
    programs use (`` `E42` ``, `ENOENT`) aren't."""
    if term.runs and all(run.code for run in term.runs):
        return False
    plain = one_line(term.plain)
    letters = sum(sign.isalpha() for sign in plain)
    return shortform.looks_short(plain) and (letters <= _MOST_CODE or shortform.agrees(plain, words.plain))


def _point(term: Text, words: tuple[str, ...], noun: str, scope: Scope, cells: Cells | None = None) -> Point:
    point = base_point("abbreviation", term, scope, cells, marks=cells is not None)
    if named := _NAMED.fullmatch(point.subject):
        point.subject, point.id = named["term"].strip(), named["id"]
    point.subject = _FOOTNOTE.sub("", without_marks(point.subject)) or point.subject
    plain = noun == "term" and not shortform.looks_short(point.subject)
    short = noun in ("abbreviation", "term") and not plain
    point.fields["meaning"] = words
    point.wording["noun"] = "abbreviation" if short else noun
    if cells and "role" in cells:
        point.fields["role"] = (without_stop(cells["role"].plain),)
    return point


def _added(first: Point, second: Point) -> tuple[str, ...]:
    """The second point's meanings that the first hasn't, by the words that the letters stand for."""

    def key(text: str) -> str:
        return key_form(shortform.core_of(first.subject, text) or text)

    known = {key(text) for text in first.fields["meaning"]}
    return tuple(text for text in second.fields["meaning"] if key(text) not in known)


def _ambiguous(point: Point, place: Place | None = None) -> list[Finding]:
    meanings = point.fields["meaning"]
    if len(meanings) < 2:
        return []
    listed = ", ".join(f"`{shown(text)}`" for text in meanings)
    message = f"`{shown(point.subject)}` has several meanings: {listed}"
    return [finding("ambiguous-abbreviation", place or point.place, message, _AMBIGUOUS)]


def _unmeant(place: Place, term: str) -> Finding:
    message = f"`{shown(one_line(term))}` has no meaning"
    return finding("missing-answer", place, message, "write what it stands for, or take it out")


def _no_term(term: Text) -> Finding:
    said = f"term `{shown(one_line(term.plain))[:60]}` makes no card: it is no abbreviation"
    help = "put the list under a heading such as `Terms`, or ask about it under a heading that ends in `?`"
    return finding("unrecognised-list", term.place, said, help)


def _stray(item: Item) -> Finding:
    return finding(
        "unrecognised-list",
        item.place,
        f"what stands below `{shown(one_line(item.text.plain))[:60]}` in a list of abbreviations isn't read",
        "write it as `**ABC** – words`, or move it out of the list",
    )
