"""Pages as a PDF: what stands on a page is painted as it stands. The same pages always make the same bytes.

Text is text in embedded fonts, so that it can be selected, searched and read aloud; each glyph of the music font is
stored once. The only place that knows reportlab.
"""

from __future__ import annotations

import io
import zlib
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfdoc, pdfmetrics, ttfonts
from reportlab.pdfgen.canvas import Canvas

from lessonkit.drawing.fonts import font_file
from lessonkit.drawing.shapes import Box, Face, paint
from lessonkit.drawing.uncollected import uncollected
from lessonkit.handout.identity import metadata_of
from lessonkit.handout.imposition import Imposition, Laid, Sheet, imposed
from lessonkit.handout.paint import PagePainter
from lessonkit.handout.structure import Structure
from lessonkit.handout.tags import Run, runs_of
from lessonkit.handout.unicode_map import unicode_map
from lessonkit.pages.page import Page, PageLink

# reportlab writes code points beyond U+FFFF in five digits, which readers take for another sign, and all in one block
# where 100 are allowed. Ours can go when it writes UTF-16 itself.
ttfonts.makeToUnicodeCMap = unicode_map

# Streams written in letters would be a quarter larger, and take reportlab longer than all the painting does.
rl_config.useA85 = 0


_encoded = pdfdoc.pdfdocEnc


def _quickly_encoded(text: str | bytes) -> bytes:
    """Text as a PDF's own bytes; nearly all that is written is plain letters, for which no table need be asked."""
    if isinstance(text, str) and text.isascii() and text.isprintable():
        return text.encode()
    encoded: bytes = _encoded(text)
    return encoded


pdfdoc.pdfdocEnc = _quickly_encoded

# A document says the same few hundred names again and again, each looked through letter by letter.
pdfdoc.PDFName = lru_cache(maxsize=4096)(pdfdoc.PDFName)


class _Squeezed(pdfdoc.PDFStreamFilterZCompress):  # type: ignore[misc]
    """Streams squeezed quickly: files grow by three in a hundred, and making them takes a tenth less."""

    def encode(self, text: str | bytes) -> bytes:
        """The stream as it stands in the file."""
        return zlib.compress(text.encode() if isinstance(text, str) else text, LEVEL)


LEVEL = 3
"""How hard streams are squeezed, of 9."""

pdfdoc.PDFZCompress = _Squeezed()


def pdf_bytes(
    pages: Sequence[Page], title: str, author: str = "", language: str = "en",
    imposition: Imposition = Imposition.SINGLE,
) -> bytes:  # fmt: skip
    """The pages as a PDF file; ``language`` as in HTML (``de-AT``). Raises ValueError where there is none."""
    out = io.BytesIO()
    with uncollected():
        write_pdf(pages, out, title, author, language, imposition)
    return out.getvalue()


def write_pdf(
    pages: Sequence[Page], out: BinaryIO, title: str, author: str = "", language: str = "en",
    imposition: Imposition = Imposition.SINGLE,
) -> None:  # fmt: skip
    """Write the pages to a stream that takes bytes."""
    if not pages:
        raise ValueError("there is no page to print; a lesson has at least one")
    sheets = imposed(pages, imposition)
    first = sheets[0]
    canvas = Canvas(
        out, pagesize=(first.width, first.height), pageCompression=1, invariant=1, lang=language,
        initialFontName=_font(Face.SERIF).fontName, pdfVersion=(1, 7),
    )  # fmt: skip
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setCreator("lessonkit")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    painter = PagePainter(canvas, _font)
    structure = Structure()
    wanted = {link.number for page in pages for link in page.links} & {page.number for page in pages}
    highest = min((entry.level for page in pages for entry in page.outline), default=1)
    depth = -1
    for sheet in sheets:
        canvas.setPageSize((sheet.width, sheet.height))
        structure.begin_sheet()
        for laid in sheet.pages:
            painter.begin(sheet.height, laid.x, laid.y, laid.scale)
            structure.begin_page(laid.page.number)
            links = [link for link in laid.page.links if link.number in wanted]
            for run in runs_of(laid.page):
                box = run.part.placed.box
                number = structure.add(run, _on_sheet(box, laid, sheet)) if run.within else None
                if run.end > run.first:
                    painter.begin_content(structure.tag_of(run), number)
                    paint(run.part.placed, painter, run.first, run.end)
                    painter.end_content()
                for link in [link for link in links if run.within and box.overlaps(link.box, 1.0)]:
                    links.remove(link)
                    _add_link(canvas, structure, run, link, _on_sheet(link.box, laid, sheet))
            painter.end()
            depth = _add_outline(canvas, laid, sheet, depth, highest)
            if laid.page.number in wanted:
                canvas.bookmarkPage(f"page {laid.page.number}", fit="Fit")
        canvas.showPage()
    structure.write(canvas._doc)
    canvas._doc.Catalog.Metadata = metadata_of(title, author, language)
    canvas.save()


def _add_outline(canvas: Any, laid: Laid, sheet: Sheet, depth: int, highest: int) -> int:
    """An entry for each heading; answers the depth of the last one, since a PDF outline may not skip a depth."""
    page = laid.page
    for place, entry in enumerate(page.outline):
        name = f"page {page.number} heading {place}"
        canvas.bookmarkPage(name, fit="XYZ", left=laid.x, top=_top(laid, sheet, entry.y))
        depth = min(entry.level - highest, depth + 1)
        canvas.addOutlineEntry(entry.text, name, level=depth)
    return depth


class _Link(pdfdoc.LinkAnnotation):  # type: ignore[misc]
    """A link that the tree of tags knows."""

    permitted = (*pdfdoc.LinkAnnotation.permitted, "StructParent")


def _add_link(canvas: Any, structure: Structure, run: Run, link: PageLink, box: Box) -> None:
    """What a reader can click on to go to another page."""
    name = f"link {canvas._annotationCount + 1}"
    key = structure.add_link(name)
    words = f"{run.words}, page {link.number}" if run.words else f"page {link.number}"
    to = canvas._bookmarkReference(f"page {link.number}")
    canvas._addAnnotation(_Link(list(box), words, to, "[0 0 0]", F=4, StructParent=key), name)


def _on_sheet(box: Box, laid: Laid, sheet: Sheet) -> Box:
    """A rectangle of a page in the sheet's own points, which count from below."""
    left, top, right, bottom = (laid.scale * side for side in box)
    high = sheet.height - laid.y
    return Box(laid.x + left, high - bottom, laid.x + right, high - top)


def _top(laid: Laid, sheet: Sheet, y: float) -> float:
    """Where a reader goes for what stands at a height of a page: a little above it, counted from below."""
    return sheet.height - laid.y - laid.scale * max(0.0, y - 12)


@lru_cache(maxsize=len(Face))
def _font(face: Face) -> Any:
    """The font of a face, opened once; only the signs that a document uses are embedded."""
    font = ttfonts.TTFont(f"lessonkit {face.value}", str(font_file(face)), asciiReadable=0)
    pdfmetrics.registerFont(font)
    return font
