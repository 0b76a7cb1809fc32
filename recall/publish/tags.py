"""Tags of a PDF (ISO 32000-1, sections 14.6 to 14.8): what is a heading, a table and a list, for whoever has it read
aloud. The library draws, and writes the document's language; of tags it knows nothing, so that they are written here.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFString
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, Paragraph

from recall.base.dataclass import dataclass, field

LANGUAGE = "en"
"""Of all that the program says; notes are asked in it."""


@dataclass(slots=True, eq=False)
class Element:
    """A piece of a document. role: a standard structure type; alt: words for a picture; marks: page and number of
    what was drawn of it."""

    role: str
    alt: str = ""
    kids: list["Element"] = field(default_factory=list)
    marks: list[tuple[int, int]] = field(default_factory=list)

    def child(self, role: str, alt: str = "") -> "Element":
        """A new piece in it, behind the others."""
        self.kids.append(Element(role, alt))
        return self.kids[-1]

    @property
    def empty(self) -> bool:
        """Whether nothing of it was drawn."""
        return not self.marks and all(kid.empty for kid in self.kids)


class TaggedCanvas(Canvas):
    """Pages whose content is tagged. document: the root of the tags."""

    _code: list[str]
    _doc: Any

    def __init__(self, document: Element, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named | {"lang": LANGUAGE})
        self.document = document
        self._marked: list[list[Element]] = [[]]
        self.setViewerPreference("DisplayDocTitle", "true")

    @contextmanager
    def tagged(self, element: Element) -> Iterator[None]:
        """What is drawn is a part of an element."""
        page = self._marked[-1]
        element.marks.append((len(self._marked) - 1, len(page)))
        self._code.append(f"/{element.role} <</MCID {len(page)}>> BDC")
        page.append(element)
        yield
        self._code.append("EMC")

    @contextmanager
    def artifact(self) -> Iterator[None]:
        """What is drawn is no content: lines, and what each page repeats."""
        self._code.append("/Artifact BMC")
        yield
        self._code.append("EMC")

    def showPage(self) -> None:  # noqa: N802
        """End a page."""
        super().showPage()
        self._marked.append([])

    def save(self) -> None:
        """Write the document, with its tags."""
        if self._code:
            self.showPage()
        self._structure()
        super().save()

    def _structure(self) -> None:
        document, pages = self._doc, list(self._doc.Pages.pages)
        kept: dict[Element, Any] = {}
        root = PDFDictionary({"Type": PDFName("StructTreeRoot")})
        top = document.Reference(root)

        def of(element: Element, parent: Any) -> Any:
            made = PDFDictionary({"Type": PDFName("StructElem"), "S": PDFName(element.role), "P": parent})
            kept[element] = own = document.Reference(made)
            parts = [
                PDFDictionary({"Type": PDFName("MCR"), "Pg": document.Reference(pages[page]), "MCID": number})
                for page, number in element.marks
            ]
            made.dict["K"] = PDFArray(parts + [of(kid, own) for kid in element.kids if not kid.empty])
            if element.alt:
                made.dict["Alt"] = PDFString(element.alt)
            if element.role == "TH":
                made.dict["A"] = PDFDictionary({"O": PDFName("Table"), "Scope": PDFName("Column")})
            return own

        root.dict["K"] = of(self.document, top)
        numbers: list[Any] = []
        for number, (page, marked) in enumerate(zip(pages, self._marked, strict=False)):
            numbers += [number, PDFArray([kept[element] for element in marked])]
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = number, PDFName("S")
        root.dict["ParentTree"] = document.Reference(PDFDictionary({"Nums": PDFArray(numbers)}))
        root.dict["ParentTreeNextKey"] = len(pages)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


class Tagged(Flowable):
    """Mixed into what stands on a page: it is drawn as a part of its element."""

    element: Element

    def draw(self) -> None:
        """Draw it; a table's head that a page repeats is no content again."""
        canvas: Any = self.canv
        again = self.element.role == "TH" and self.element.marks
        with canvas.artifact() if again else canvas.tagged(self.element):
            super().draw()  # type: ignore[misc]

    def split(self, width: float, height: float, /) -> list[Flowable]:
        """Its parts on two pages, both of the same element."""
        parts: list[Any] = super().split(width, height)
        for part in parts:
            part.element = self.element
        return parts


class TaggedParagraph(Tagged, Paragraph):
    """A paragraph of a tagged document."""


def paragraph(into: Element, role: str, text: str, style: Any, **more: Any) -> TaggedParagraph:
    """A paragraph as a new piece of an element."""
    made = TaggedParagraph(text, style, **more)
    made.element = into.child(role)
    return made
