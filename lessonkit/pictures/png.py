"""Pages as PNG: the same PDF that is printed, as dots. Its writer and its reader need no library of the system."""

from __future__ import annotations

import io

from lessonkit.handout.pdf import pdf_bytes
from lessonkit.pages.page import Page

DOTS_IN_INCH = 200
"""Sharp on a screen and in a document, small enough for a message."""

LEAST_DOTS, MOST_DOTS = 36, 1200


def png_bytes(page: Page, dots: int = DOTS_IN_INCH) -> bytes:
    """A page as a PNG file with so many dots to an inch; raises ValueError for what cannot be looked at."""
    import pypdfium2

    if not LEAST_DOTS <= dots <= MOST_DOTS:
        raise ValueError(f"{dots} dots to an inch are not between {LEAST_DOTS} and {MOST_DOTS}")
    document = pypdfium2.PdfDocument(pdf_bytes((page,), "picture"))
    try:
        image = document[0].render(scale=dots / 72, grayscale=True).to_pil()
        out = io.BytesIO()
        image.save(out, "PNG", dpi=(dots, dots))
        return out.getvalue()
    finally:
        document.close()
