"""The kind `abbreviation`: what letters stand for. Tables, definition lists, bullets, and headings of a glossary."""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.answers import Answer, MembersAnswer, ProseAnswer, TermAnswer, WordsAnswer
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import key_form, mixed_in, one_line, shown
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Draft, Point, Read, Scope, where
from recall.kinds.prose import shortform
from recall.kinds.prose.glossary import KEYS, Glossary, columns_of, is_glossary, read_bullet
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.messages import says_messages
from recall.kinds.prose.sentence import has_verb
from recall.kinds.steps.telling import is_position
from recall.kinds.tables.cells import Answers, is_placeholder, leaks
from recall.kinds.tables.joining import joined, same_words, union
from recall.notes.model import Definitions, Heading, List, Paragraph, Table, Text

_DOES = re.any_case(r"\w{2,}[^\Ws]s (?:the|an?|its|all|both|each|every)\b")
"""Begins a role that tells what a thing does, so that it can be named by it."""
_CODES = re.any_case(r"\bcodes?\b")
_MOST_TYPED = 9
"""Words of a meaning that a person can be asked to type."""
_LEGEND = re.any_case(
    r"^(?:legend|key|abbreviations?|abbrevs?|acronyms?|where|short forms?)(?: used)?\s*[:–—-]\s+|\.$"
)
_PARTED = re.compile(r"\s*[,;·•]\s+")
_STRUCTURE = re.compile(r"^\s*(?:[-*•]|\d+[.)])\s| \| ", re.MULTILINE)
"""A list or a table below a heading: more than words for its letters."""


class Abbreviation(Kind):
    """Letters and what they stand for; several meanings of one key are one point."""

    name = "abbreviation"
    rank = 95
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What does {it} stand for?", "{it}: what does it stand for?"),
        ("What does {it} mean?", "{it}: what does it mean?"),
        ("Which abbreviation stands for {it}?", "What is {it} for short?"),
        ("Which {noun} means {it}?", "What is the {noun} for {it}?"),
    )
    aspects = ("meaning", "abbreviation", "whose-role")
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role("""
        abbreviation: abbreviation, abbr, abbrev, abbrv, abv, short form|, initialism, initials, abbreviated form|,
            abbreviation/acronym, acronym/abbreviation, abbreviation|acronym or abbreviation|acronym,
            abbreviations|acronyms and abbreviations|acronyms, acronyms /common terms/code,
            acronym|abbreviation / term, acronym/term, term/acronym, term / acronym|abbreviation,
            abbreviation/term, term/abbreviation, letters,
            v-speed, v speed
        acronym: acronym
        term: term, glossary term, terminology
        symbol: symbol
        code: code, contraction, designator
        meaning: meaning, definition, what_it|it| stands for, full form|name|term|text|meaning, expansion,
            expanded form|, long form|, in full, spelled|spelt|written out, what_it| means, stand for,
            explanation,
            description, plain language|english, decode, unabbreviated, phrase, words
        role: role, function, purpose, what it does, use, used for, job, task
    """)
    required = (KEYS, ("meaning",))
    title = "Abbreviations"
    sheet: ClassVar[Mapping[str, str]] = {"": "Abbreviation", "meaning": "Meaning"}
    shown = ("role",)
    by_item = True
    owns_below = False

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """Letters and their words; of two columns that could hold the letters, the cells decide."""
        columns = columns_of(table, roles)
        if columns is None:
            return None
        key, meaning = columns
        used = {at: role for at, role in roles.items() if role not in (*KEYS, "meaning")}
        used |= {key: roles.get(key, "term"), meaning: "meaning"}
        shown = [at for at in range(len(table.headers)) if used.get(at) in (None, *self.shown)]
        return Match(used, len(used), key, shown, telling=(), due=[meaning])

    def read_table(self, match: Match, scope: Scope) -> Read:
        """Points of a glossary, row by row."""
        read, key = Glossary(scope), match.roles[match.subject]
        answers = Answers(match, key, "meaning", ticks=False)
        for row, cells in answers.rows():
            letters, words = row.cells[match.subject], row.cells[match.columns["meaning"]]
            if "meaning" not in cells and shortform.agrees(letters.plain, words.plain):
                cells["meaning"] = words
            if key not in cells:
                answers.nameless(row.place, "abbreviation")
            elif "meaning" not in cells:
                answers.gap(row.place, letters.plain)
            else:
                answers.answered += 1
                read.add(letters, words.plain, noun=key.replace("acronym", "abbreviation"), cells=cells)
        return read.points, read.findings + answers.said()

    def read_definitions(self, block: Definitions, scope: Scope) -> Read | None:
        """A glossary: each definition is a meaning. Terms that aren't abbreviations need a heading that says so."""
        told = is_glossary(*scope.topic)
        if not told and says_messages(scope.topic, None):
            return None
        read = Glossary(scope)
        for entry in block.entries:
            words = [text.plain for text in entry.meanings]
            term = shown(one_line(entry.term.plain))[:60]
            if told or not entry.term or shortform.looks_short(entry.term.plain) or not any(words):
                read.add(entry.term, *words)
            else:
                said = f"term `{term}` makes no card: it is no abbreviation"
                read.left(entry.term.place, said, "put the list under a heading such as `Terms`, or ask about it "
                          "under a heading that ends in `?`")  # fmt: skip
        return (read.points, read.findings) if read.points else None

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """A list whose items nearly all give letters and their words; stray ones in a list of prose aren't read."""
        named = is_glossary(*scope.topic[-1:], block.lead.plain if block.lead else "")
        told = named or is_glossary(*scope.topic[-2:])
        if not told and says_messages(scope.topic, block.lead):
            return None
        items = [(item, read_bullet(item.text, told)) for item in block.items]
        fitting = [bullet for _, bullet in items if bullet]
        sure = sum(bullet.sure for bullet in fitting)
        if told:
            enough = len(fitting) * 2 > len(items) and (sure > 0 or (named and len(fitting) > 1))
        else:
            lone = len(items) == 1 and (lead := block.items[0].text.lead) is not None and lead.bold
            enough = len(fitting) * 3 >= len(items) * 2 and sure * 2 > len(items) and (sure > 1 or lone)
        read = Glossary(scope)
        for item, bullet in items if enough else ():
            point = read.add(Text(bullet.term, item.text.place), bullet.words) if bullet else None
            if point is None:
                continue
            for below in item.below:
                if isinstance(below, Paragraph):
                    point.extra += (("More", one_line(below.text.plain)),)
                else:
                    term = shown(one_line(item.text.plain))[:60]
                    said = f"what stands below `{term}` in a list of abbreviations isn't read"
                    read.left(item.place, said, "write it as `**ABC** – words`, or move it out of the list")
        return (read.points, read.findings) if enough else None

    def read_paragraph(self, block: Paragraph, scope: Scope) -> Read | None:
        """A paragraph of nothing but letters and the words that they surely stand for: one in bold or code, or more
        of them side by side (`LT: level transmitter, PT: pressure transmitter`)."""
        told, text = is_glossary(*scope.topic[-2:]), block.text
        words = _LEGEND.sub("", one_line(text.plain))
        said = re.split(r";\s+", words) if "; " in words else _PARTED.split(words)
        parts = [replace(text, plain=part, runs=()) for part in said]
        several = len(parts) > 1 and all(map(shortform.split_term, parts))
        read = Glossary(scope)
        for part in parts if several else [text] if text.lead or told else []:
            bullet = read_bullet(part, told)
            if bullet is None or not bullet.sure or is_position(bullet.term.casefold()):
                return None
            if shortform.is_sentence(bullet.words) or has_verb(bullet.words):
                return None
            read.add(Text(bullet.term, text.place), bullet.words)
        return (read.points, read.findings) if read.points else None

    def aside(self, text: Text, scope: Scope) -> Sequence[Point]:
        """Letters of running text: in brackets behind the words of which they are the initials, or said to stand for
        words."""
        read = Glossary(scope)
        for term, words in shortform.explained(one_line(text.plain)):
            point = read.add(Text(term, text.place), words)
            if point is not None:
                point.wording["aside"] = "yes"
        return read.points

    def read_section(self, heading: Heading, body: str, place: Place, scope: Scope) -> Read | None:
        """A heading of letters with their words as its only paragraph; two lines are two meanings."""
        term = one_line(heading.text.plain)
        words, _, rest = body.strip().partition("\n\n")
        unread = is_placeholder(words) or shortform.starts_with_number(words) or _STRUCTURE.search(body)
        if unread or not shortform.looks_short(term):
            return None
        read = Glossary(scope, place)
        point = read.add(heading.text, words, noun="abbreviation")
        if point is None:
            return None
        meanings = point.fields["meaning"]
        agrees = all(shortform.agrees(term, meaning) for meaning in meanings)
        if not is_glossary(*scope.topic) and (rest or not agrees):
            return None
        if not agrees and (rest or len(words.split()) > _MOST_TYPED or shortform.is_sentence(words)):
            return None
        point.id = heading.id
        point.extra += (("More", one_line(rest)),) if one_line(rest) else ()
        return read.points, read.findings

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
        before = f"in {where(first)}"
        added = _added(first, second)
        if not added:
            said = f"`{shown(second.subject)}` is explained again, the same as {before}"
            return [finding("duplicate-point", second.place, said, "keep one of them")]
        meant = shown(first.fields["meaning"][0])
        said = f"`{shown(second.subject)}` is `{shown(added[0])}` here and `{meant}` {before}"
        help = "both are asked for as a set; where only one holds here, keep that one"
        return [finding("ambiguous-abbreviation", second.place, said, help)]

    def drafts(self, point: Point) -> list[Draft]:
        """What it stands for; which letters stand for that, where nobody can spell them from it; which have a role
        that tells."""
        term, meanings, noun = point.subject, point.fields["meaning"], point.wording["noun"]
        spelt = [shortform.core_of(term, text) for text in meanings]
        pairs = list(zip(spelt, meanings, strict=True))
        cores = [
            core or one_line(text.replace(f"({term})", "").replace(f"[{term}]", "")) for core, text in pairs
        ]
        stands = noun == "abbreviation" and all(core and shortform.stands_for(term, core) for core in spelt)
        coded = _CODES.search(" ".join(point.topic)) is not None and not stands
        noun = "code" if coded and noun == "abbreviation" else noun
        signs = term.isalnum() and (len(term) < 3 or not (term.islower() or term.istitle()))
        name = term if stands or signs else f"“{term}”"
        asked = f"What does {name} {'stand for' if stands else 'mean'}?"
        asked = asked if len(meanings) == 1 else f"Which meanings does {name} have?"
        drafts = [Draft("meaning", asked, _answer(cores, meanings))]
        told = noun == "code" or not all(shortform.spells(core, term) for core in cores)
        if told and mixed_in(term) is None:  # else nobody can type it
            quoted = " and also ".join(f"“{core}”" for core in cores)
            asked = f"Which {noun} {'stands for' if stands else 'means'} {quoted}?"
            drafts.append(Draft("abbreviation", asked, TermAnswer((term,))))
        if (role := point.fields.get("role")) and _DOES.match(role[0]):
            asked = f"Which {noun} has the role “{role[0]}”?"
            drafts.append(Draft("whose-role", asked, TermAnswer((term,))))
        return [draft for draft in drafts if not leaks(draft.prompt, draft.answer.texts)]


def _answer(cores: list[str], meanings: tuple[str, ...]) -> Answer:
    """The meanings, typed where that can be asked of a person. Those in Morse are compared by their signs, of which
    every one counts."""
    signs = () if any(any(map(str.isalnum, text)) for text in meanings) else tuple(sorted(meanings))
    whole = all(map(same_words, cores, meanings))
    if any(len(core.split()) > _MOST_TYPED for core in cores) or (len(meanings) > 1 and not whole):
        return ProseAnswer(meanings, signs)
    if len(meanings) > 1:
        return MembersAnswer(meanings, signs)
    return WordsAnswer(meanings, signs, also=() if whole else tuple(cores))


def _added(first: Point, second: Point) -> tuple[str, ...]:
    """The second point's meanings that the first hasn't, by the words that the letters stand for."""

    def key(text: str) -> str:
        return key_form(shortform.core_of(first.subject, text) or text)

    known = {key(text) for text in first.fields["meaning"]}
    return tuple(text for text in second.fields["meaning"] if key(text) not in known)
