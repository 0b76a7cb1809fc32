"""Blocks of a note: plain data, each with its topic path and its place. Nothing here knows of kinds."""

from typing import Literal

from recall.base.dataclass import dataclass, field
from recall.base.finding import Place

Bold = Literal["none", "some", "all"]


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of inline text of one look."""

    text: str
    bold: bool = False
    code: bool = False
    link: bool = False


@dataclass(frozen=True, slots=True)
class Text:
    """Inline content. plain: the words without markup, entities resolved, `<br>` as a line end."""

    plain: str
    place: Place
    bold: Bold = "none"
    runs: tuple[Run, ...] = ()
    """Empty where the whole is one plain run."""
    stray: bool = False
    """Whether a `**` that no backslash escapes stands in it as itself: opened or closed, and not both."""
    pictured: "Text | None" = None
    """The same with the words of the pictures at its ends, where those are left out."""

    def __bool__(self) -> bool:
        """Whether it has any words."""
        return bool(self.plain.strip())

    @property
    def lead(self) -> Run | None:
        """The bold or code words at its head (`**ABC** – words`), where other words follow them."""
        if len(self.runs) > 1 and (self.runs[0].bold or self.runs[0].code):
            return self.runs[0]
        return None


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading. topic: the headings above it; id: from `{#id}`, empty where none was given."""

    text: Text
    level: int
    topic: tuple[str, ...]
    id: str = ""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph, also out of a quotation or an admonition."""

    text: Text
    topic: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A table row, as many cells as the table has headers; cells beyond them stay in `spare`."""

    cells: tuple[Text, ...]
    place: Place
    spare: tuple[Text, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A table. lead: the paragraph or bold line right above it, if any."""

    headers: tuple[Text, ...]
    rows: tuple[Row, ...]
    topic: tuple[str, ...]
    place: Place
    lead: Text | None = None


@dataclass(frozen=True, slots=True)
class Item:
    """A list item. below: what stands indented under its first paragraph (paragraphs, lists, tables); box: its task
    box, `[ ]` or `[x]`, or nothing."""

    text: Text
    place: Place
    below: tuple["Block", ...] = ()
    box: str = ""


@dataclass(frozen=True, slots=True)
class List:
    """A list, ordered or bulleted, in document order whatever its numbers."""

    items: tuple[Item, ...]
    ordered: bool
    topic: tuple[str, ...]
    place: Place
    lead: Text | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """A term with its definitions, one or more."""

    term: Text
    meanings: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Definitions:
    """A definition list, or abbreviations given as `*[ABC]: words`."""

    entries: tuple[Entry, ...]
    topic: tuple[str, ...]
    place: Place


@dataclass(frozen=True, slots=True)
class Code:
    """A code block: kept so that a question's answer is whole; makes no points."""

    plain: str
    topic: tuple[str, ...]
    place: Place


Block = Heading | Paragraph | Table | List | Definitions | Code


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """The raw YAML between the fences at the head of a note. line: of its first inner line."""

    yaml: str
    line: int


@dataclass(frozen=True, slots=True)
class Reference:
    """A link or picture with a local target. words: a picture's own, empty where it has none; None for a link."""

    target: str
    place: Place
    words: str | None = None


@dataclass(frozen=True, slots=True)
class Start:
    """A heading at which a note can be parted: nothing that stands above it goes on below. line: its own, from 1;
    block: its place among the note's blocks."""

    line: int
    block: int
    level: int


@dataclass(frozen=True, slots=True)
class Note:
    """A note, read. lines: its source, for carets and citations; starts: where it can be parted, none where one part
    says something of another (link references)."""

    file: str
    blocks: tuple[Block, ...]
    front_matter: FrontMatter | None
    references: tuple[Reference, ...]
    lines: tuple[str, ...]
    starts: tuple[Start, ...] = field(default=(), compare=False)
