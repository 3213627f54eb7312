"""The tree of tags of a document: gathered while its pages are painted, written into the PDF at the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import Any

from reportlab.pdfbase import pdfdoc

from lessonkit.drawing.shapes import Box
from lessonkit.handout.tags import Run
from lessonkit.values import dataclass

TAGS = {
    "paragraph": "P", "list": "L", "numbered list": "L", "checklist": "L",
    "item": "LI", "label": "Lbl", "body": "LBody",
    "table": "Table", "row": "TR", "head": "TH", "row head": "TH", "cell": "TD", "figure": "Figure", "link": "Link",
}  # fmt: skip
"""The tag of each kind of piece; headings follow from their depth."""

DEPTHS = {"title": 1, "heading 1": 2, "heading 2": 3, "heading 3": 4}
"""How deep headings lie below the title; one of an aid lies below the last of these."""

AID_HEADING = "aid heading"

ATTRIBUTES = {
    "list": {"O": "List", "ListNumbering": "Disc"},
    "checklist": {"O": "List", "ListNumbering": "None"},
    "numbered list": {"O": "List", "ListNumbering": "Decimal"},
    "head": {"O": "Table", "Scope": "Column"},
    "row head": {"O": "Table", "Scope": "Row"},
}
"""What is said of a tag besides; owner first."""

ARTIFACT = "Artifact"


@dataclass(slots=True)
class Element:
    """An element of the tree: its kind, its words as told and as seen, where it stands, and what lies in it.

    ``kids`` are elements, pieces of content as (sheet, number), and annotations.
    """

    kind: str
    words: list[str] = field(default_factory=list)
    seen: list[str] = field(default_factory=list)
    kids: list[Any] = field(default_factory=list)
    box: Box | None = None


@dataclass(slots=True)
class Annotation:
    """A link on a sheet, by its name in the document."""

    sheet: int
    name: str


class Structure:
    """Gathers elements while pages are painted, and writes the tree at the end."""

    def __init__(self) -> None:
        self._by_page: dict[int, list[Element]] = {}
        self._by_sheet: list[list[Element]] = []
        self._links: list[Element] = []
        self._page = 0
        self._open: list[tuple[tuple[str, str, int], Element]] = []

    def begin_sheet(self) -> None:
        """Content that comes next stands on another sheet."""
        self._by_sheet.append([])

    def begin_page(self, number: int) -> None:
        """Content that comes next stands on the page of a number; what began on the page before may go on."""
        if number != self._page + 1:
            self._open = []
        self._page = number
        self._by_page.setdefault(number, [])

    def tag_of(self, run: Run) -> str:
        """The tag under which a run's content stands on the page; how deep a heading lies is known at the end."""
        return TAGS.get(run.within[-1][0], "H") if run.within else ARTIFACT

    def add(self, run: Run, box: Box) -> int | None:
        """Take up a run; answers the number of its content on the sheet, None where nothing is painted."""
        element = self._element(run)
        if run.words:
            element.words.append(run.words)
        element.box = element.box or box
        if run.end <= run.first:
            return None
        element.seen.append(run.seen)
        sheet = len(self._by_sheet) - 1
        number = len(self._by_sheet[sheet])
        self._by_sheet[sheet].append(element)
        element.kids.append((sheet, number))
        return number

    def add_link(self, name: str) -> int:
        """Take up a link in what was added last; answers the key under which the tree finds its annotation."""
        element = Element("link", kids=[Annotation(len(self._by_sheet) - 1, name)])
        siblings = self._open[-1][1].kids if self._open else self._by_page[self._page]
        siblings.append(element)
        self._links.append(element)
        return FIRST_LINK + len(self._links) - 1

    def _element(self, run: Run) -> Element:
        """The element of a run: the open one where it is the same thing, else a new one in what is still open."""
        keys = [(run.scope, kind, number) for kind, number in run.within]
        shared = 0
        while shared < min(len(keys), len(self._open)) and self._open[shared][0] == keys[shared]:
            shared += 1
        del self._open[shared:]
        for key in keys[shared:]:
            element = Element(key[1])
            siblings = self._open[-1][1].kids if self._open else self._by_page[self._page]
            siblings.append(element)
            self._open.append((key, element))
        return self._open[-1][1]

    def write(self, document: Any) -> None:
        """Put the tree into a reportlab document whose pages are all there."""
        pages = document.Pages.pages
        root, whole = pdfdoc.PDFDictionary({}), pdfdoc.PDFDictionary({})
        root_at, whole_at = document.Reference(root, "tags"), document.Reference(whole, "tags-document")
        writer = _Writer(document, pages)
        tops = [element for _, elements in sorted(self._by_page.items()) for element in elements]
        for name, value in (("Type", "StructElem"), ("S", "Document")):
            whole[name] = pdfdoc.PDFName(value)
        whole["P"] = root_at
        whole["K"] = pdfdoc.PDFArray([writer.entry(element, whole_at) for element in tops])
        numbers: list[Any] = []
        for place, elements in enumerate(self._by_sheet):
            numbers += [place, pdfdoc.PDFArray([writer.references[id(element)] for element in elements])]
            page = pages[place]
            # reportlab writes what it lists; these two are missing from its list.
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = place, pdfdoc.PDFName("S")
        for place, element in enumerate(self._links):
            numbers += [FIRST_LINK + place, writer.references[id(element)]]
        root["Type"] = pdfdoc.PDFName("StructTreeRoot")
        root["K"] = pdfdoc.PDFArray([whole_at])
        root["ParentTree"] = pdfdoc.PDFDictionary({"Nums": pdfdoc.PDFArray(numbers)})
        root["ParentTreeNextKey"] = FIRST_LINK + len(self._links)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": pdfdoc.PDFtrue})


FIRST_LINK = 1_000_000
"""The key of the first link in the tree's index, behind those of the sheets, of which there are never so many."""


class _Writer:
    """Writes elements one below the other, headings at depths of which none is skipped."""

    def __init__(self, document: Any, pages: Sequence[Any]) -> None:
        self._document = document
        self._pages = pages
        self._depth = 0
        self.references: dict[int, Any] = {}

    def entry(self, element: Element, parent: Any) -> Any:
        """The reference to a written element, all that lies in it written too."""
        entry = pdfdoc.PDFDictionary({})
        reference = self._document.Reference(entry, f"tags-{len(self.references)}")
        self.references[id(element)] = reference
        first = next(_sheets(element), 0)
        kids = [self._kid(kid, first, reference) for kid in element.kids]
        entry["Type"] = pdfdoc.PDFName("StructElem")
        entry["S"] = pdfdoc.PDFName(TAGS.get(element.kind) or self._heading(element.kind))
        entry["P"] = parent
        entry["Pg"] = self._document.Reference(self._pages[first])
        entry["K"] = kids[0] if len(kids) == 1 else pdfdoc.PDFArray(kids)
        self._say(entry, element)
        return reference

    def _say(self, entry: Any, element: Element) -> None:
        words = " ".join(element.words)
        said: dict[str, Any] = dict(ATTRIBUTES.get(element.kind, {}))
        if element.kind == "figure":
            entry["Alt"] = pdfdoc.PDFString(words)
            if element.box is not None:
                said = {"O": "Layout", "BBox": pdfdoc.PDFArray([round(side, 2) for side in element.box])}
        elif words and words != " ".join(element.seen):
            entry["ActualText"] = pdfdoc.PDFString(words)
        if said:
            named = {key: pdfdoc.PDFName(one) if isinstance(one, str) else one for key, one in said.items()}
            entry["A"] = pdfdoc.PDFDictionary(named)

    def _kid(self, kid: Any, first: int, reference: Any) -> Any:
        if isinstance(kid, Element):
            return self.entry(kid, reference)
        if isinstance(kid, Annotation):
            return pdfdoc.PDFDictionary(
                {
                    "Type": pdfdoc.PDFName("OBJR"), "Pg": self._document.Reference(self._pages[kid.sheet]),
                    "Obj": self._document.refAnnotation(kid.name),
                }
            )  # fmt: skip
        sheet, number = kid
        if sheet == first:
            return number
        page = self._document.Reference(self._pages[sheet])
        return pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("MCR"), "Pg": page, "MCID": number})

    def _heading(self, kind: str) -> str:
        if kind == AID_HEADING:
            return f"H{min(self._depth + 1, 6)}"
        self._depth = min(DEPTHS[kind], self._depth + 1)
        return f"H{self._depth}"


def _sheets(element: Element) -> Iterator[int]:
    """The sheets on which an element stands, in order."""
    for kid in element.kids:
        if isinstance(kid, Element):
            yield from _sheets(kid)
        else:
            yield kid.sheet if isinstance(kid, Annotation) else kid[0]
