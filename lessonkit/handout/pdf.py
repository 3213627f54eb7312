"""Pages as a PDF: what stands on a page is painted as it stands. The same pages always make the same bytes.

Text is text in embedded fonts, so that it can be selected, searched and read aloud; each glyph of the music font is
stored once. The only place that knows reportlab.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics, ttfonts
from reportlab.pdfgen.canvas import Canvas

from lessonkit.drawing.fonts import font_file
from lessonkit.drawing.shapes import Face, paint
from lessonkit.drawing.uncollected import uncollected
from lessonkit.handout.imposition import Imposition, Laid, Sheet, imposed
from lessonkit.handout.paint import PagePainter
from lessonkit.handout.tags import ARTIFACT, Structure, tagged
from lessonkit.handout.unicode_map import unicode_map
from lessonkit.pages.page import Page

# reportlab writes code points beyond U+FFFF in five digits, which readers take for another sign, and all in one block
# where 100 are allowed. Ours can go when it writes UTF-16 itself.
ttfonts.makeToUnicodeCMap = unicode_map

# Streams written in letters would be a quarter larger, and take reportlab longer than all the painting does.
rl_config.useA85 = 0


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
        initialFontName=_font(Face.SERIF).fontName,
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
            for one in tagged(laid.page):
                if one.part.placed.drawing.shapes:
                    painter.begin_content(one.tag, None if one.tag == ARTIFACT else structure.add(one))
                    paint(one.part.placed, painter)
                    painter.end_content()
            painter.end()
            depth = _add_outline(canvas, laid, sheet, depth, highest)
            if laid.page.number in wanted:
                canvas.bookmarkPage(f"page {laid.page.number}", fit="Fit")
            _add_links(canvas, laid, sheet, wanted)
        canvas.showPage()
    structure.write(canvas._doc)
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


def _add_links(canvas: Any, laid: Laid, sheet: Sheet, there: Collection[int]) -> None:
    """What a reader can click on to go to another page that is there."""
    for link in laid.page.links:
        if link.number not in there:
            continue
        left, top, right, bottom = (laid.scale * side for side in link.box)
        high = sheet.height - laid.y
        canvas.linkRect("", f"page {link.number}", (laid.x + left, high - bottom, laid.x + right, high - top))


def _top(laid: Laid, sheet: Sheet, y: float) -> float:
    """Where a reader goes for what stands at a height of a page: a little above it, counted from below."""
    return sheet.height - laid.y - laid.scale * max(0.0, y - 12)


@lru_cache(maxsize=len(Face))
def _font(face: Face) -> Any:
    """The font of a face, opened once; only the signs that a document uses are embedded."""
    font = ttfonts.TTFont(f"lessonkit {face.value}", str(font_file(face)), asciiReadable=0)
    pdfmetrics.registerFont(font)
    return font
