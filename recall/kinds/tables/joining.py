"""Two points of one key: what makes them one, and what keeps them apart."""

from collections.abc import Collection, Sequence

from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Finding, finding
from recall.base.text import key_form, one_line, shown, word_set
from recall.kinds.model import Point, where
from recall.kinds.prose.lexicon import SIDES
from recall.kinds.tables.headers import Match, header_name, spellings

_ASIDE = word_set("note remark comment description detail example severity probability likelihood")
"""Columns that say more of a row without telling it from another."""
_HELPS = word_set("do does did")


def told_apart(first: Point, second: Point, shown: Collection[str] = ()) -> bool:
    """Whether a column that the kind doesn't know tells two rows apart (`Variant`), remarks and what is only shown
    aside: such rows aren't said to be one."""
    other = dict(second.extra)
    differing = [header for header, words in first.extra if not same_words(words, other.get(header, words))]
    return any(header and not is_aside(header, shown) for header in differing)


def is_aside(header: str, shown: Collection[str] = ()) -> bool:
    """Whether a column only says more of a row: remarks, and the names in `shown`."""
    return not {*_ASIDE, *shown}.isdisjoint(spellings(header_name(header)))


def name_apart(
    points: Sequence[Point], match: Match, columns: Sequence[int] | None = None, *, all_rows: bool = False
) -> None:
    """Give points of one table that have one name and condition what their rows say differently in other columns
    (`Gear light`, green and red) as their condition. columns: those that may tell, in
    order; unless given, those that are shown and are no mere remarks. all_rows: what tells some apart names all."""
    if columns is None:
        columns = [at for at in match.shown if not is_aside(match.table.headers[at].plain)]
    rows = {row.place.line: row for row in match.table.rows}
    groups: dict[tuple[str, ...], list[Point]] = {}
    for point in points:
        if not point.id and point.place.line in rows:
            groups.setdefault((*point.about(), key_form(point.applies)), []).append(point)
    told: set[int] = set()
    for group in sorted(groups.values(), key=len, reverse=True):
        for column in columns:
            words = [one_line(rows[point.place.line].cells[column].plain) for point in group]
            head = one_line(match.table.headers[column].plain)
            words = [f"{head} {said}" if re.sub("[-– ]", "", said).isdigit() else said for said in words]
            alike = len(set(map(key_form, words))) == 1
            if not all(words) or (alike and not (all_rows and column in told)):
                continue
            told.add(column)
            for point, said in zip(group, words, strict=True):
                point.condition = ", ".join(part for part in (point.condition, said) if part)


def same_words(one: str, two: str) -> bool:
    """Whether two answers are the same but for case, blanks and a leading article."""
    return key_form(one) == key_form(two)


def contradict(one: str, two: str) -> bool:
    """Whether two answers are each other's opposite: the same words but for a negation, or for on and off."""
    from recall.answers.tokens import words_said
    from recall.answers.vocabulary import NEGATIONS, OPPOSITES

    first, second = words_said(one), words_said(two)
    if first == second:
        return False
    denials = [
        [word in NEGATIONS or word.endswith(("n't", "n’t")) for word in words] for words in (first, second)
    ]
    said = [
        [
            word.rstrip("s")
            for word, denies in zip(words, each, strict=True)
            if not denies and word not in _HELPS
        ]
        for words, each in zip((first, second), denials, strict=True)
    ]
    if said[0] == said[1]:  # `does not stop` and `stops`
        return sum(denials[0]) != sum(denials[1])
    return len(first) == len(second) and all(
        a == b or (frozenset((a, b)) in OPPOSITES and not {a, b} & SIDES)
        for a, b in zip(first, second, strict=True)
    )


def said_again(first: Point, second: Point) -> list[Finding]:
    """A finding where the second of two points that are joined says nothing that the first doesn't."""
    for role, parts in second.fields.items():
        if {*map(key_form, parts)} - {*map(key_form, first.fields.get(role, ()))}:
            return []
    message = f"`{shown(second.subject)}` is said again, the same as in {where(first)}"
    return [finding("duplicate-point", second.place, message, "keep one of them")]


def union(one: Sequence[str], two: Sequence[str]) -> tuple[str, ...]:
    """Answers of both, each once, in order."""
    known = set(map(key_form, one))
    return (*one, *(text for text in two if key_form(text) not in known))


def added(first: Point, second: Point, sets: Collection[str]) -> Point | None:
    """Two points as one, their sets joined; None where one denies the other, or they differ in what is no set.

    sets: the roles whose answers are one.
    """
    fields: dict[str, tuple[str, ...]] = {}
    wording = dict(first.wording)
    for role in dict.fromkeys((*first.fields, *second.fields)):
        mine, other = first.fields.get(role, ()), second.fields.get(role, ())
        if role not in sets:
            if mine and other and not same_words(mine[0], other[0]):
                return None
            fields[role] = mine or other
            continue
        if any(contradict(a, b) for a in mine for b in other):
            return None
        stems = [point.wording.get(role, "") for point in (first, second) if role in point.fields]
        if not all(same_words(stems[0], stem) for stem in stems):
            wording.pop(role, None)  # asked in the words of its kind
        elif stems[0]:
            wording[role] = stems[0]
        fields[role] = union(mine, other)
    several = [{key_form(text) for text in texts} for role, texts in fields.items() if role in sets]
    if len(set().union(*several)) < sum(map(len, several)):
        return None
    return replace(joined(first, second, fields), wording=wording)


def go_on(point: Point, more: Point, sets: Collection[str]) -> None:
    """A row of ditto marks: what else is right, and what is done next."""
    for role, texts in more.fields.items():
        known = point.fields.get(role, ())
        both = union(known, texts)
        point.fields[role] = both if role in sets or not known else ("; ".join(both),)


def joined(first: Point, second: Point, fields: dict[str, tuple[str, ...]]) -> Point:
    """The first point with joined fields, and what the second adds of source, reason, weight and other columns."""
    cite, why = (
        "; ".join(union([one] if one else [], [two] if two else []))
        for one, two in ((first.cite, second.cite), (first.why, second.why))
    )
    extra = tuple(dict.fromkeys((*first.extra, *second.extra)))
    critical = first.critical or second.critical
    return replace(first, fields=fields, critical=critical, cite=cite, why=why, extra=extra)
