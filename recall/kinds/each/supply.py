"""The kind `supply`: a source with all that it feeds. Tables, and lists under the name of their source.

What follows when a source fails is computed from all supplies of a deck, in `recall.deck.supply`.
"""

from collections.abc import Mapping, Sequence
from typing import ClassVar

from recall.answers import MembersAnswer
from recall.base import regex as re
from recall.base.dataclass import replace
from recall.base.finding import Finding, Place, finding
from recall.base.text import one_line, shown
from recall.kinds.aspect import Aspect, Part, names
from recall.kinds.english import is_plural, the, upper
from recall.kinds.kind import Kind, Match
from recall.kinds.model import Point, Read, Scope, base_point
from recall.kinds.prose.form import Claim, SentenceForm, forms
from recall.kinds.prose.lexicon import by_role
from recall.kinds.prose.shortform import split_head
from recall.kinds.supplies import lead
from recall.kinds.supplies.columns import BARE, NUMBER, box_of, settled
from recall.kinds.supplies.names import THROUGH, Backup, alternatives, backups_in, names_in
from recall.kinds.supplies.rows import backups_of, loads_of, taking_over, with_row
from recall.kinds.tables.cells import Answers
from recall.kinds.tables.headers import header_name, names_of
from recall.kinds.tables.joining import joined, union
from recall.notes.model import List, Row, Table, Text

_PLAIN = ("from", "source", "sources", "supply", "supplied from", "supplied by", "supplier", "origin")
"""Names of a source that make a supply only beside a plain word for what it feeds."""
_DEVICES = (
    "tank", "battery", "generator", "alternator", "inverter", "converter", "rectifier", "transformer", "reservoir",
    "accumulator", "compressor", "manifold", "power unit", "outlet", "socket", "charger", "supply unit",
)  # fmt: skip
"""Names of things that feed others, where a header says what they feed."""
_VAGUE = ("equipment", "component", "components", "circuit", "circuits")
_VAGUER = ("service", "services", "function", "functions", "system", "systems", "item", "items")
"""Names of loads that beside some names of sources may say anything."""
_ASIDE = re.compile(
    r"^(?P<role>back-?up|standby|also needs|needs|requires|also requires)\s*:\s*(?P<words>.+)$", re.I | re.S
)
_BACKED = re.any_case(
    r"(?P<name>[^()]+?)\s*\((?:back-?up|standby|backed up by)\b\s*(?:by\b|:)?\s*(?P<words>[^()]+)\)"
)
"""A load with what takes it over: `Navigation lights (backup: emergency switchboard)`."""
_HOLDS = re.any_case(r"(?:tank|reservoir|accumulator|bottle|cylinder)s?\b")
_DRIVER = re.any_case(r"\b(?:engine|turbine|gearbox|motor)s?(?: (?:no\.? ?)?\w{1,2})?$")
_DRIVEN = re.any_case(r"\b(?:generator|alternator|pump|propeller|compressor)\b")
"""What turns, and what is turned: the one drives the other, and doesn't feed it."""
_RATING = re.any_case(
    r"(?:^|,\s*)(\d[\d.,]*\s?A(?:mps?)?\b(?:[\s-]*(?:\d[ -]?p(?:oles?)?|blade|fuse|breaker|mcb|rcbo|slow|fast)\b)*)$"
)
"""What a fuse or a breaker is rated, alone or behind its name: no name of its own."""
_SPARE = re.any_case(r"\W*(?:spare|unused|not used|reserved?|blank|empty)\W*")


def fed(point: Point, load: str, sources: tuple[str, ...], line: int) -> Part:
    """A load as a part of the point that tells of it. sources: all that feed it."""
    place = replace(point.place, line=line)
    of = replace(point, fields={"from": sources}, place=place, critical=False, parts=())
    driven = all(map(_DRIVER.search, sources)) and _DRIVEN.search(load)
    return Part(load, of, {"load": the(load), "feed": "drive" if driven else "normally feed"})


FED_BY = Aspect(
    "fed-by", "from", "What {feed}s {load}?", "Which {n} sources {feed} {load}?", names,
    parts=lambda point: [fed(point, load, (point.subject,), line) for load, line in loads_of(point).values()],
)  # fmt: skip


class Supply(Kind):
    """A source with its loads; each row keeps what its own loads need besides, and their backups."""

    name = "supply"
    rank = 60
    title = "Supplies"
    sheet: ClassVar[Mapping[str, str]] = {
        "": "From",
        "feeds": "Feeds",
        "needs": "Also needs",
        "backup": "Backup",
    }
    ways: ClassVar[Sequence[tuple[str, ...]]] = (
        ("What normally feeds {it}?", "What normally supplies {it}?"),
        ("What drives {it}?", "What turns {it}?"),
        ("What {does} {it} feed directly?", "What is fed straight from {it}?"),
        ("Which {n} items {does} {it} feed directly?", "Name the {n} items that are fed straight from {it}."),
        (
            "Which {n} items does {it} drive or supply directly?",
            "Name the {n} items that {it} drives or supplies directly.",
        ),
        (
            "Which {n} items do {it} drive or supply directly?",
            "Name the {n} items that {it} drive or supply directly.",
        ),
        (
            "{it} is dead and everything else is healthy: {what}?",
            "{it} has failed, but all else works: {what}?",
        ),
        (
            "{it} is empty and everything else is healthy: {what}?",
            "{it} has run empty, but all else works: {what}?",
        ),
    )
    aspects = (
        Aspect(
            "feeds", "feeds", "What {does} {source} {feed} directly?",
            "Which {n} items {does} {source} {feed} directly?", MembersAnswer,
        ),
        FED_BY,
        Aspect(
            "lost", "lost", "{dead}: what is lost{before}?",
            "{dead}: which {n} items are lost{stages}{before}?", MembersAnswer,
        ),
        Aspect(
            "lost", "sources", "{dead}: which {source of others} is lost{before}?",
            "{dead}: which {n} {sources of others} are lost{stages}{before}?", MembersAnswer,
        ),
        Aspect(
            "kept", "kept", "{dead}: what is then fed by a backup?",
            "{dead}: which {n} items are then fed by a backup?", MembersAnswer,
        ),
        Aspect("backup", "backs", "What backs up {source}?", "Which {n} things back up {source}?", names),
    )  # fmt: skip
    named_things = True
    headers: ClassVar[Mapping[str, tuple[str, ...]]] = by_role(f"""
        from: from, supply|source|electrical| bus, supply, fuse| panel, breaker panel|, fuse box|, busbar, bus bar,
            circuit breaker, cb, fusebox, power source|supply, feeding bus, source of supply,
            powered|fed|supplied by|from, pump, feeder, supplier,
            distribution panel,
            {", ".join(_DEVICES)}
        feeds: feeds, feed, protects, load, loads fed|powered|supplied|, powers, power to, supplies to|, circuit,
            consumer, energises, energizes, drives, powered load|equipment|item|system, connected load,
            equipment powered|fed|, items|systems powered, service, component, system, item, function
        needs: also needs, need, also requires|required|need, requires, needs too, in addition needs,
            additional requirement, also depends on
        backup: backup, back-up, back up, backed up by, backup source|supply|feed, alternate feed,
            alternate|alternative source|supply|, standby source|supply|,
            secondary|second|reserve|emergency source, reserve, fallback,
            secondary|emergency supply, takes over, automatic backup
        source: source, ref, reference, citation
    """)
    required = (("from", "source"), ("feeds",))
    sure = frozenset(("feeds", "powers", "energises", "energizes", "protects", "loads fed", "loads powered"))
    sentences: ClassVar[tuple[SentenceForm, ...]] = forms(
        "supply",
        ("feeds", rf"(?:the )?(?P<x>.+?) (?:also )?{lead.FEEDING} (?:both |all )?(?P<y>.+)"),
        ("feeds", rf"(?P<y>.+?) (?:is|are) {lead.FED_FROM} (?:only )?(?:by|from|off) (?:the )?(?P<x>.+)"),
        ("backs", r"(?P<x>.+?) (?:is|are) backed up by (?P<y>.+)"),
        ("backs", r"(?P<y>.+?) backs? up (?P<x>.+)"),
        ("feeds", r"(?P<y>.+?) (?:runs?|works?) (?:on|off|from) (?:the )?(?P<x>.+)"),
        ("feeds", r"(?P<y>.+?) (?:needs?|requires?) (?P<x>the .+|.+ (?-i:\d\w?|[A-Z]))"),
    )
    adds_up = True
    rows_add_up = True

    def match(self, table: Table, roles: dict[int, str]) -> Match | None:
        """The source of supply is told from a citation before anything is decided."""
        match = super().match(table, settled(table, roles))
        if match is None:
            return None
        rated = NUMBER.fullmatch(names_of(table)[match.subject]) is not None  # whose rating it explains too
        return replace(match, named=match.columns["feeds"], explained=match.explained + rated)

    def fits(self, table: Table, roles: Mapping[int, str]) -> bool:
        """A source and what it feeds, by names that mean nothing else together, over cells that aren't amounts."""
        column = {role: at for at, role in roles.items()}
        if "from" not in column or "feeds" not in column:
            return False
        names = names_of(table)
        source, feeds = names[column["from"]], names[column["feeds"]]
        if NUMBER.fullmatch(source):
            return True
        if feeds in _VAGUER and source in ("panel", "bus"):
            return False
        return feeds not in (*_VAGUE, *_VAGUER) or source not in (*_PLAIN, *_DEVICES, "pump")

    def read_table(self, match: Match, scope: Scope) -> Read:
        """A point a row and source; rows of one source are joined later."""
        column = match.columns
        names = names_of(match.table)
        kept_in = box_of(match.table, names[column["from"]])
        answers = Answers(match, subject="from", what="feeds", ticks=False)
        points: list[Point] = []
        findings: list[Finding] = []
        for row, cells in answers.rows():
            if "from" not in cells:
                answers.nameless(row.place, "source")
                continue
            loads = names_in(cells["feeds"].plain) if "feeds" in cells else ()
            if _SPARE.fullmatch(" ".join(loads or ())):
                continue
            rated = _RATING.search(cells["from"].plain)
            said = _RATING.sub("", cells["from"].plain)
            number = BARE.fullmatch(said.strip())
            each = () if number else names_in(said) or ()
            sources = (
                (f"{kept_in} {number[0]}",)
                if number
                else [one for name in each for one in alternatives(name)]
            )
            if not sources or loads is None:
                answers.answered += 1
                findings.append(_half_read(row, "feeds" if sources else "from"))
                continue
            if not loads:
                answers.gap(row.place, cells["from"].plain)
                continue
            answers.answered += 1
            needs = names_in(cells["needs"].plain) if "needs" in cells else ()
            if needs is None:
                findings.append(_half_read(row, "also needs"))
                continue
            backups = backups_in(cells["backup"].plain) if "backup" in cells else ()
            for source in sources:
                named = replace(cells["from"], plain=source)
                point = base_point("supply", named, scope, cells)
                point.extra += (("Rating", rated[1]),) if rated else ()
                points.append(with_row(point, loads, needs, backups))
        return points, answers.said() + findings

    def read_list(self, block: List, scope: Scope) -> Read | None:
        """The loads under a line or heading that names their source, with a lead such as `feeds`."""
        named = lead.source_named(block.lead, scope)
        if named is None:
            pairs = [split_head(item.text) for item in block.items if not item.below]
            return self._sources(block, pairs, scope) if len(pairs) == len(block.items) else None
        loads: dict[str, Place] = {}
        backed: list[Point] = []
        needs: tuple[str, ...] = ()
        backups: tuple[Backup, ...] = ()
        for item in block.items:
            if aside := _ASIDE.match(item.text.plain):
                if aside["role"].casefold().startswith(("back", "standby")):
                    backups += backups_in(aside["words"])
                else:
                    needs += names_in(aside["words"]) or ()
                continue
            own = _BACKED.fullmatch(one_line(item.text.plain))
            more = names_in(own["name"] if own else item.text.plain)
            if own and more and (taken := self._backed(more, backups_in(own["words"]), item.text, scope)):
                backed.append(taken)
            if item.below or not more or any(len(name.split()) > lead.MOST_WORDS for name in more):
                return None
            loads |= {name: item.place for name in more if name not in loads}
        if not loads:
            return None
        place = block.lead.place if block.lead else block.place
        point = with_row(
            base_point("supply", Text(named, place), scope, marks=False), tuple(loads), needs, backups
        )
        below = " ".join(str(at.line - place.line) for at in loads.values())
        point.parts = (replace(point.parts[0], wording={"below": below}),)
        aside = lead.AMOUNT.search(block.lead.plain) if block.lead else None
        said = [one_line(item.text.plain) for item in block.items if THROUGH.search(item.text.plain)]
        point.extra = tuple(("Note", words) for words in ([aside[1]] if aside else []) + said)
        return [point, *backed], []

    def _sources(self, block: List, pairs: Sequence[tuple[str, str] | None], scope: Scope) -> Read | None:
        """Bullets of sources with their loads (`Bus A: pump, lights`), where all of a list are such."""
        points = []
        known = lead.is_source if lead.SAYS_FED.search(scope.heading) else lead.IS_BUS.search
        for item, pair in zip(block.items, pairs, strict=True):
            source, loads = pair[0] if pair else "", names_in(pair[1]) if pair else None
            if not loads or not known(source) or not all(map(lead.is_name, (source, *loads))):
                return None
            named = Text(source, item.text.place)
            points.append(with_row(base_point("supply", named, scope, marks=False), loads))
        return (points, []) if len(points) > 1 else None

    def read_claim(self, claim: Claim, text: Text, scope: Scope) -> Point | None:
        """A sentence in which a source feeds things, all of them names."""
        said = re.sub(r"^(?:the|both|all) ", "", claim.said, flags=re.IGNORECASE)
        source = names_in(re.sub(r"^(?:the|an?) ", "", claim.subject, flags=re.IGNORECASE))
        if claim.form.role == "backs":
            return self._backed(source or (), backups_in(said), text, scope)
        loads = names_in(said)
        if not loads or source is None or len(source) != 1 or not lead.is_source(source[0]):
            return None
        loads = tuple(re.sub(r"^the ", "", load, flags=re.IGNORECASE) for load in loads)
        if not all(map(lead.is_name, (*loads, *source))):
            return None
        point = base_point(self.name, replace(text, plain=source[0], runs=()), scope, marks=False)
        return with_row(point, loads)

    def _backed(
        self, loads: Sequence[str], backups: Sequence[Backup], text: Text, scope: Scope
    ) -> Point | None:
        """What takes over for a load, whatever feeds it."""
        named = [backup.name for backup in backups]
        if (
            len(loads) != 1
            or not all(map(lead.is_name, (*loads, *named)))
            or not all(map(lead.is_source, named))
        ):
            return None
        point = base_point(self.name, replace(text, plain=loads[0], runs=()), scope, marks=False)
        point.condition = "backup"
        point.fields = {"backs": tuple(named), **taking_over(backups)}
        return point

    def joins(self, first: Point, second: Point) -> Point | None:
        """One source with the loads of both; each row keeps its own needs and backups."""
        loads = union(first.fields["feeds"], second.fields["feeds"])
        return replace(joined(first, second, {"feeds": loads}), parts=first.parts + second.parts)

    def said(self, part: Point, role: str) -> str:
        """Names; a backup by hand says how."""
        if role != "backup" or "how" not in part.fields:
            return super().said(part, role)
        return "; ".join(
            f"{one.name} (by hand{': ' if one.how else ''}{one.how})".strip() if one.manual else one.name
            for one in backups_of(part)
        )

    def words(self, point: Point) -> dict[str, str]:
        """The source as a sentence names it."""
        source, several = the(point.subject), is_plural(point.subject)
        dead = "empty" if _HOLDS.search(point.subject) else "dead"
        dead = f"{upper(source)} {'are' if several else 'is'} {dead} and everything else is healthy"
        does = "do" if several else "does"
        feed = "drive or supply" if _DRIVER.search(point.subject) else "feed"
        return {"source": source, "does": does, "feed": feed, "dead": dead, **point.wording}


def _half_read(row: Row, column: str) -> Finding:
    cell = shown(one_line(" | ".join(cell.plain for cell in row.cells)))[:60]
    message = f"row `{cell}` doesn't name everything under `{header_name(column).capitalize()}`"
    help = "give each thing its name, parted by commas, and none of them as an amount or `etc.`"
    return finding("missing-answer", row.place, message, help)
