"""Mistakes planted into notes, one a class: what an instructor's slip does to a table, a list or a record."""

import random
import re
from collections.abc import Callable
from dataclasses import dataclass

Lines = list[str]
Notes = dict[str, Lines]
_NUMBER = re.compile(r"[-−]?\d[\d,]*(?:\.\d+)?")


@dataclass(frozen=True)
class Row:
    """A row of a table. at: its index in the note; head: the index of the table's headers; cells: by header."""

    file: str
    at: int
    head: int
    cells: dict[str, str]

    def line(self, **changed: str) -> str:
        """The row with some cells changed (`Unit` as `unit`)."""
        new = {
            header: changed.get(header.lower().replace(" ", "_"), cell) for header, cell in self.cells.items()
        }
        return "| " + " | ".join(new.values()) + " |"


def rows_of(notes: Notes, *headers: str) -> list[Row]:
    """All rows of tables that have these headers."""
    found = []
    for file, lines in notes.items():
        head = -1
        for at, line in enumerate(lines):
            if not line.startswith("|"):
                head = -1
            elif head < 0:
                head = at
            elif at > head + 1:
                names = [cell.strip() for cell in lines[head].strip().strip("|").split("|")]
                cells = [cell.strip() for cell in line.strip()[1:-1].split("|")]
                if set(headers) <= set(names) and len(cells) == len(names):
                    found.append(Row(file, at, head, dict(zip(names, cells, strict=True))))
    return found


def _other(number: str) -> str:
    """Another number of the same look."""
    digits = number.replace(",", "")
    return str(int(digits) + 7) if digits.isdigit() else digits + "7"


def _limits(notes: Notes, *headers: str) -> list[Row]:
    """Rows of limits whose number stands alone in its cell, with a unit beside it."""
    return [
        row
        for row in rows_of(notes, "Parameter", "Unit", *headers)
        if row.cells["Unit"] and all(_NUMBER.fullmatch(row.cells[header]) for header in headers)
    ]


def _below(notes: Notes, row: Row, line: str) -> None:
    notes[row.file].insert(row.at + 1, line)


def conflict(notes: Notes, rng: random.Random) -> str:
    """A row said again with another number."""
    row = rng.choice(_limits(notes, "Maximum"))
    _below(notes, row, row.line(maximum=_other(row.cells["Maximum"])))
    return row.file


def twice(notes: Notes, rng: random.Random) -> str:
    """A row said again."""
    row = rng.choice([*_limits(notes, "Maximum"), *rows_of(notes, "Control", "Position")])
    _below(notes, row, row.line())
    return row.file


def elsewhere(notes: Notes, rng: random.Random) -> str:
    """A row carried into a note of its own with another number."""
    row = rng.choice([row for row in _limits(notes, "Maximum") if len(row.cells["Parameter"].split()) > 2])
    copied = row.line(maximum=_other(row.cells["Maximum"]))
    notes["zz-notes.md"] = ["# Notes of a course", "", *notes[row.file][row.head : row.head + 2], copied]
    return "zz-notes.md"


def same_question(notes: Notes, rng: random.Random) -> str:
    """A question in the words of a row's own, with another answer."""
    rows = [row for row in rows_of(notes, "Control", "Position", "When") if row.cells["When"]]
    row = rng.choice([row for row in rows if row.cells["When"].split()[0].istitle()])
    under = row.cells["When"][0].lower() + row.cells["When"][1:]
    asked = f"{row.cells['Control'].strip('*')}, {under}: which position?"
    notes[row.file] += ["", f"## {asked}", "", "Wherever it was left."]
    return row.file


def swapped(notes: Notes, rng: random.Random) -> str:
    """Minimum and maximum in each other's place."""
    row = rng.choice(_limits(notes, "Minimum", "Maximum"))
    notes[row.file][row.at] = row.line(minimum=row.cells["Maximum"], maximum=row.cells["Minimum"])
    return row.file


def unreadable(notes: Notes, rng: random.Random) -> str:
    """A number that isn't one."""
    row = rng.choice(_limits(notes, "Maximum"))
    wrong = rng.choice(("10k", "1e3", "12.5.3", "1 2", "1/2", "10²", "2l0"))
    notes[row.file][row.at] = row.line(maximum=wrong)
    return row.file


def unread(notes: Notes, rng: random.Random) -> str:
    """An amount in words and signs that nobody here reads."""
    row = rng.choice(_limits(notes, "Maximum"))
    wrong = rng.choice(("ISA + 30", "0 to VDD", "5 or 6", "20 s/4 min", "3/4 in", "(3)", "fast"))
    notes[row.file][row.at] = row.line(maximum=wrong)
    return row.file


def other_dimension(notes: Notes, rng: random.Random) -> str:
    """A cell in a unit of another dimension than its column's."""
    row = rng.choice(_limits(notes, "Maximum"))
    unit = "V" if row.cells["Unit"] != "V" else "psi"
    notes[row.file][row.at] = row.line(maximum=f"{row.cells['Maximum']} {unit}")
    return row.file


def no_unit(notes: Notes, rng: random.Random) -> str:
    """A unit left out."""
    row = rng.choice(_limits(notes, "Maximum"))
    notes[row.file][row.at] = row.line(unit="")
    return row.file


def strange_unit(notes: Notes, rng: random.Random) -> str:
    """A unit that nobody knows."""
    row = rng.choice(_limits(notes, "Maximum"))
    notes[row.file][row.at] = row.line(unit=rng.choice(("blarg", "psj", "KIAX", "zz")))
    return row.file


def no_answer(notes: Notes, rng: random.Random) -> str:
    """An answer left out."""
    row, column = rng.choice(
        [(row, "Meaning") for row in rows_of(notes, "Abbreviation", "Meaning")]
        + [(row, "Position") for row in rows_of(notes, "Control", "Position")]
        + [(row, "Means") for row in rows_of(notes, "Caption", "Means")]
        + [(row, "Then") for row in rows_of(notes, "If", "Then")]
    )
    notes[row.file][row.at] = row.line(**{column.lower(): rng.choice(("", "-", "TBD", "?"))})
    return row.file


def template(notes: Notes, rng: random.Random) -> str:
    """A table with no answers."""
    head, sep = rng.choice(
        [("| Control | Position |", "| --- | --- |"), ("| Caption | Means |", "| --- | --- |")]
    )
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += ["", "## Still open", "", head, sep, "| Left pump | |", "| Right pump | TBD |"]
    return file


def two_meanings(notes: Notes, rng: random.Random) -> str:
    """An abbreviation explained again in other words."""
    row = rng.choice(rows_of(notes, "Abbreviation", "Meaning"))
    _below(notes, row, row.line(meaning="Quite another thing altogether"))
    return row.file


def unexplained(notes: Notes, rng: random.Random) -> str:
    """An abbreviation used often that stands in no glossary."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    word = rng.choice(("QZX", "WKJ", "PZRT"))
    notes[file] += [
        "",
        f"The {word} runs. A {word} hums. Feed the {word}. Stop the {word}. Leave the {word} alone.",
    ]
    return file


def unsourced(notes: Notes, rng: random.Random) -> str:
    """A critical row under a heading without a source."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += [
        "",
        "# Loose ends",
        "",
        "| Control | Position |",
        "| --- | --- |",
        "| **Cargo hook** | SAFE |",
        "| Mast | UP |",
    ]
    return file


def broken_link(notes: Notes, rng: random.Random) -> str:
    """A link to a note that isn't there."""
    file = rng.choice(sorted(notes))
    notes[file] += ["", f"See [the page](no-such-{rng.randrange(99)}.md)."]
    return file


def open_fence(notes: Notes, rng: random.Random) -> str:
    """A fence that nobody closes."""
    file = rng.choice(sorted(notes))
    notes[file] += ["", "```", "what stands here is lost"]
    return file


def hidden(notes: Notes, rng: random.Random) -> str:
    """A character that nobody sees."""
    row = rng.choice(rows_of(notes, "Parameter", "Maximum"))
    mark = rng.choice("\u200b\u202e\u00ad\u2066\x1b\x07")
    notes[row.file][row.at] = row.line(
        parameter=row.cells["Parameter"][:3] + mark + row.cells["Parameter"][3:]
    )
    return row.file


def long_flow(notes: Notes, rng: random.Random) -> str:
    """A procedure that nobody can hold."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += [
        "",
        "## Whole check",
        "",
        *(f"{at}. Switch {at} ON" for at in range(1, rng.randrange(11, 20))),
    ]
    return file


def long_answer(notes: Notes, rng: random.Random) -> str:
    """An answer that nobody can hold."""
    row = rng.choice(rows_of(notes, "If", "Then"))
    notes[row.file][row.at] = row.line(
        then="The pump slows and " + "then it slows some more and " * 6 + "stops"
    )
    return row.file


def unknown_table(notes: Notes, rng: random.Random) -> str:
    """A table of no kind."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += ["", "## More", "", "| Colour | Mood |", "| --- | --- |", "| Blue | Calm |"]
    return file


def unknown_list(notes: Notes, rng: random.Random) -> str:
    """A list of no kind."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += ["", "## More", "", "- blue and calm", "- green and merry"]
    return file


def unread_sentence(notes: Notes, rng: random.Random) -> str:
    """A sentence with a must that has none of the forms."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] += ["", "## More", "", "Merry crews must be kept merry."]
    return file


def wrong_record(notes: Notes, rng: random.Random) -> str:
    """A key of the record that isn't right."""
    line = rng.choice(
        ("effective: 2026-13-01", "colour: red", "revision: eight", "deck: Skerry 2", "title: [a]")
    )
    key = line.split(":", maxsplit=1)[0]
    lines = [old for old in notes["deck.md"] if not old.startswith(f"{key}:")]
    notes["deck.md"] = [lines[0], line, *lines[1:]]
    return "deck.md"


def other_keys(notes: Notes, rng: random.Random) -> str:
    """Front matter of a site generator."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes[file] = ["---", "layout: page", "---", "", *notes[file]]
    return file


def doubled_id(notes: Notes, rng: random.Random) -> str:
    """One id for two points."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    name = rng.choice(("a1", "a b"))
    rows = [f"| Mast | UP | {name} |", f"| Hook | SAFE | {name} |"]
    notes[file] += ["", "## More", "", "| Control | Position | Id |", "| --- | --- | --- |", *rows]
    return file


def loop(notes: Notes, rng: random.Random) -> str:
    """A bus that feeds what feeds it."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    rows = ["| Bus X | Bus Y |", "| Bus Y | Bus Z |", "| Bus Z | Bus X |"]
    notes[file] += ["", "## More", "", "| From | Feeds |", "| --- | --- |", *rows]
    return file


def lost_backup(notes: Notes, rng: random.Random) -> str:
    """A backup named nowhere else."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    rows = ["| Bus X | Mast light | Bus Q |"]
    notes[file] += ["", "## More", "", "| From | Feeds | Backup |", "| --- | --- | --- |", *rows]
    return file


def strange_variant(notes: Notes, rng: random.Random) -> str:
    """Rows for a variant that the record doesn't know."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    notes["deck.md"] = [notes["deck.md"][0], "aircraft: {2A: 101–150}", *notes["deck.md"][1:]]
    notes[file] += [
        "",
        "## More",
        "",
        "| Control | Position | Applies to |",
        "| --- | --- | --- |",
        "| Pump Z | ON | 2B |",
    ]
    return file


def strange_area(notes: Notes, rng: random.Random) -> str:
    """A topic of the checkride that no note has."""
    at = notes["deck.md"].index("  questions:") + 1
    notes["deck.md"].insert(at, f"    Anchor {rng.randrange(100)}: 2")
    return "deck.md"


def overdue(notes: Notes, rng: random.Random) -> str:
    """A deck that nobody has looked over."""
    lines = [old for old in notes["deck.md"] if not old.startswith("review-by:")]
    notes["deck.md"] = [lines[0], "review-by: 2026-01-31", *lines[1:]]
    return "deck.md"


def outside(notes: Notes, rng: random.Random) -> str:
    """A normal range beyond the limits."""
    file = rng.choice(sorted(set(notes) - {"deck.md"}))
    low, high = rng.randrange(10, 40), rng.randrange(60, 90)
    row = f"| Mast pressure | {low} | {low + 5} to {high + 9} | {high} | psi |"
    head = "| Parameter | Minimum | Normal | Maximum | Unit |"
    notes[file] += ["", "## More", "", head, "|---|---|---|---|---|", row]
    return file


Planter = Callable[[Notes, random.Random], str]

PLANTERS: dict[Planter, str] = {
    conflict: "conflicting-points",
    twice: "duplicate-point",
    elsewhere: "differs-elsewhere",
    same_question: "same-question",
    swapped: "minimum-above-maximum",
    outside: "normal-outside-limits",
    unreadable: "unreadable-quantity",
    unread: "unread-amount",
    other_dimension: "unit-mismatch",
    no_unit: "limit-without-unit",
    strange_unit: "unknown-unit",
    no_answer: "missing-answer",
    template: "empty-template",
    two_meanings: "ambiguous-abbreviation",
    unexplained: "undefined-abbreviation",
    unsourced: "no-citation",
    broken_link: "broken-reference",
    open_fence: "unclosed-block",
    hidden: "hidden-character",
    long_flow: "overlong-flow",
    long_answer: "overlong-answer",
    unknown_table: "unrecognised-table",
    unknown_list: "unrecognised-list",
    unread_sentence: "unread-sentence",
    wrong_record: "bad-record",
    other_keys: "other-keys",
    strange_variant: "unknown-variant",
    doubled_id: "bad-id",
    loop: "supply-loop",
    lost_backup: "unknown-supply",
    strange_area: "unknown-topic",
    overdue: "past-review-date",
}
"""Each mistake with the rule that must find it, in the file that the planter names."""
