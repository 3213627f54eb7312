"""Pages as a PDF: what stands on a page is painted as it stands. The same pages always make the same bytes.

Text is text in embedded fonts, so that it can be selected, searched and read aloud; each glyph of the music font is
stored once. The only place that knows reportlab.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, BinaryIO

from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics, ttfonts
from reportlab.pdfgen.canvas import Canvas

from lessonkit.drawing.fonts import font_file
from lessonkit.drawing.shapes import Face, paint
from lessonkit.drawing.uncollected import uncollected
from lessonkit.handout.paint import PagePainter
from lessonkit.handout.unicode_map import unicode_map
from lessonkit.pages.page import Page

# reportlab writes code points beyond U+FFFF in five digits, which readers take for another sign, and all in one block
# where 100 are allowed. Ours can go when it writes UTF-16 itself.
ttfonts.makeToUnicodeCMap = unicode_map

# Streams written in letters would be a quarter larger, and take reportlab longer than all the painting does.
rl_config.useA85 = 0


def pdf_bytes(pages: Sequence[Page], title: str, author: str = "", language: str = "en") -> bytes:
    """The pages as a PDF file; ``language`` as in HTML (``de-AT``). Raises ValueError where there is none."""
    out = io.BytesIO()
    with uncollected():
        write_pdf(pages, out, title, author, language)
    return out.getvalue()


def write_pdf(pages: Sequence[Page], out: BinaryIO, title: str, author: str = "", language: str = "en") -> None:
    """Write the pages to a stream that takes bytes."""
    if not pages:
        raise ValueError("there is no page to print; a lesson has at least one")
    first = pages[0]
    canvas = Canvas(
        out, pagesize=(first.width, first.height), pageCompression=1, invariant=1, lang=language,
        initialFontName=_font(Face.SERIF).fontName,
    )  # fmt: skip
    canvas.setTitle(title)
    canvas.setAuthor(author)
    canvas.setCreator("lessonkit")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    painter = PagePainter(canvas, _font)
    depth = -1
    for page in pages:
        canvas.setPageSize((page.width, page.height))
        painter.begin(page.height)
        for part in page.parts:
            paint(part.placed, painter)
        painter.end()
        depth = _add_outline(canvas, page, depth)
        canvas.showPage()
    canvas.save()


def _add_outline(canvas: Any, page: Page, depth: int) -> int:
    """An entry for each heading; answers the depth of the last one, since a PDF outline may not skip a depth."""
    for place, entry in enumerate(page.outline):
        name = f"page {page.number} heading {place}"
        canvas.bookmarkPage(name, fit="XYZ", left=0, top=page.height - max(0.0, entry.y - 12))
        depth = min(entry.level - 1, depth + 1)
        canvas.addOutlineEntry(entry.text, name, level=depth)
    return depth


@lru_cache(maxsize=len(Face))
def _font(face: Face) -> Any:
    """The font of a face, opened once; only the signs that a document uses are embedded."""
    font = ttfonts.TTFont(f"lessonkit {face.value}", str(font_file(face)), asciiReadable=0)
    pdfmetrics.registerFont(font)
    return font
