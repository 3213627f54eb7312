"""Tags: what each piece of a page is, in reading order, so that a screen reader can tell it.

Tagged are the title and headings (H1 to H3), paragraphs (P), and music, maps and pictures of keys as figures (Figure)
with their words as alternative text; running heads, page numbers and rules are artifacts. Lists and tables are read as
paragraphs. The order is that of the blocks, whatever column they stand in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import field
from typing import Any

from reportlab.pdfbase import pdfdoc

from lessonkit.drawing.shapes import Drawing
from lessonkit.pages.page import TITLE_PLACE, Page, PlacedBlock
from lessonkit.values import dataclass

ARTIFACT = "Artifact"
FIGURES = frozenset({"staff", "map cell", "key", "key cell"})
"""The marks of what is looked at rather than read."""

SAME_PARAGRAPH = 1.0
"""Lines of one block no further apart than this, in points, are one paragraph."""


@dataclass(slots=True)
class Element:
    """One piece of the structure: its tag, its words, and its pieces of content by page and number.

    ``words`` are the alternative text of a figure; ``actual`` is the text of a paragraph whose letters on the page do
    not run on as they are read, as the words of an aid.
    """

    tag: str
    words: str = ""
    actual: str = ""
    content: list[tuple[int, int]] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Tagged:
    """A part of a page with its tag; ``follows`` joins it to the element before."""

    part: PlacedBlock
    tag: str
    words: str = ""
    actual: str = ""
    follows: bool = False


def tagged(page: Page) -> Iterator[Tagged]:
    """The parts of a page in reading order, each with its tag."""
    headings = {(round(entry.y, 2), entry.text): entry.level for entry in page.outline}
    before: Tagged | None = None
    for part in page.parts:
        one = _tagged(part, headings)
        if before is not None and _goes_on(before, one):
            one = Tagged(part, one.tag, one.words, one.actual, follows=True)
        yield one
        before = one


def _tagged(part: PlacedBlock, headings: dict[tuple[float, str], int]) -> Tagged:
    drawing = part.placed.drawing
    if part.is_around or not drawing.marks:
        return Tagged(part, ARTIFACT)
    if part.block_id == TITLE_PLACE:
        return Tagged(part, "H1")
    level = headings.get((round(part.placed.y, 2), drawing.spoken.strip()))
    if level is not None:
        return Tagged(part, f"H{min(level + 1, 3)}")
    if any(mark.kind in FIGURES for mark in drawing.marks):
        return Tagged(part, "Figure", _alternative(drawing))
    return Tagged(part, "P", actual=_actual(drawing))


def _actual(drawing: Drawing) -> str:
    """The words of a drawing as they are read, where they are more than one run of text; empty otherwise."""
    texts = [mark.detail for mark in drawing.marks if mark.kind == "text"]
    if len(texts) > 1:
        return "\n".join(texts)
    return drawing.spoken if texts and drawing.spoken != texts[0] else ""


def _alternative(drawing: Drawing) -> str:
    return drawing.spoken or " ".join(mark.detail for mark in drawing.marks if mark.kind == "text")


def _goes_on(before: Tagged, one: Tagged) -> bool:
    """Whether a line belongs to the paragraph or title of the line before."""
    if one.tag not in ("P", "H1") or before.tag != one.tag or before.part.block_id != one.part.block_id:
        return False
    gap = one.part.placed.y - before.part.placed.box.bottom
    return abs(gap) <= SAME_PARAGRAPH and one.part.placed.x == before.part.placed.x


class Structure:
    """Gathers elements while pages are painted, and writes the tree at the end."""

    def __init__(self) -> None:
        self._elements: list[Element] = []
        self._by_page: list[list[Element]] = []

    def begin_sheet(self) -> None:
        """Content that comes next stands on another sheet."""
        self._by_page.append([])

    def add(self, one: Tagged) -> int:
        """Take up a part; answers the number of its piece of content on the sheet."""
        sheet = len(self._by_page) - 1
        if one.follows and self._elements:
            element = self._elements[-1]
            if element.actual:
                element.actual += f" {one.actual or one.part.placed.drawing.spoken}"
        else:
            element = Element(one.tag, one.words, one.actual)
            self._elements.append(element)
        number = len(self._by_page[sheet])
        self._by_page[sheet].append(element)
        element.content.append((sheet, number))
        return number

    def write(self, document: Any) -> None:
        """Put the tree into a reportlab document whose pages are all there."""
        pages = document.Pages.pages
        root, whole = pdfdoc.PDFDictionary({}), pdfdoc.PDFDictionary({})
        root_at, whole_at = document.Reference(root, "tags"), document.Reference(whole, "tags-document")
        references: dict[int, Any] = {}
        for place, element in enumerate(self._elements):
            entry = _entry(element, whole_at, pages, document)
            references[id(element)] = document.Reference(entry, f"tags-{place}")
        for name, value in (("Type", "StructElem"), ("S", "Document")):
            whole[name] = pdfdoc.PDFName(value)
        whole["P"] = root_at
        whole["K"] = pdfdoc.PDFArray([references[id(element)] for element in self._elements])
        numbers: list[Any] = []
        for place, elements in enumerate(self._by_page):
            numbers += [place, pdfdoc.PDFArray([references[id(element)] for element in elements])]
            page = pages[place]
            # reportlab writes what it lists; these two are missing from its list.
            page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
            page.StructParents, page.Tabs = place, pdfdoc.PDFName("S")
        root["Type"] = pdfdoc.PDFName("StructTreeRoot")
        root["K"] = pdfdoc.PDFArray([whole_at])
        root["ParentTree"] = pdfdoc.PDFDictionary({"Nums": pdfdoc.PDFArray(numbers)})
        root["ParentTreeNextKey"] = len(self._by_page)
        document.Catalog.StructTreeRoot = root
        document.Catalog.MarkInfo = pdfdoc.PDFDictionary({"Marked": pdfdoc.PDFtrue})


def _entry(element: Element, parent: Any, pages: Sequence[Any], document: Any) -> Any:
    first = element.content[0][0]
    kids: list[Any] = []
    for sheet, number in element.content:
        if sheet == first:
            kids.append(number)
            continue
        other = {"Type": pdfdoc.PDFName("MCR"), "Pg": document.Reference(pages[sheet]), "MCID": number}
        kids.append(pdfdoc.PDFDictionary(other))
    entry = pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("StructElem"), "S": pdfdoc.PDFName(element.tag), "P": parent,
            "Pg": document.Reference(pages[first]), "K": kids[0] if len(kids) == 1 else pdfdoc.PDFArray(kids),
        }
    )  # fmt: skip
    if element.words:
        entry["Alt"] = pdfdoc.PDFString(element.words)
    if element.actual:
        entry["ActualText"] = pdfdoc.PDFString(element.actual)
    return entry
