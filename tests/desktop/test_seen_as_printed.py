"""What Qt paints on the screen is what poppler makes of the PDF: ink of one has ink of the other beside it.

The stated difference: at 150 dots to an inch no dark dot is further than one dot (0.17 mm) from ink of the other, but
for one in 2,000, as the two round the edges of letters and of thick strokes differently.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from PIL import Image, ImageChops, ImageFilter
from PySide6.QtGui import QImage
from pytestqt.qtbot import QtBot

from desktop.printed.sheets_view import painted
from desktop.start import make_application
from lessonkit.drawing.shapes import Box
from lessonkit.handout.imposition import Imposition, imposed
from lessonkit.handout.pdf import pdf_bytes
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.storage.lesson_file import read_lesson

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_lessons").glob("*.lesson"))
DOTS = 150
DARK, LIGHT = 96, 176
"""What counts as ink, and what as paper even beside ink, from 0 (black) to 255."""

FAR = 1 / 2000
"""So many dark dots may lie further than one dot from ink of the other."""


def far_dots(one: Image.Image, other: Image.Image) -> tuple[int, int]:
    """How many dark dots of one have no ink of the other within a dot, and how many dark dots there are."""
    dark = one.point([255 if value < DARK else 0 for value in range(256)])
    bare = other.filter(ImageFilter.MinFilter(3)).point([255 if value >= LIGHT else 0 for value in range(256)])
    return ImageChops.darker(dark, bare).histogram()[255], dark.histogram()[255]


def pictures(
    lesson_path: Path, edition: Edition, imposition: Imposition, folder: Path
) -> list[tuple[Image.Image, ...]]:
    """Each side as poppler and as Qt shows it."""
    lesson = read_lesson(lesson_path)
    pages = edition_pages(lesson, edition)
    (folder / "x.pdf").write_bytes(pdf_bytes(pages, "x", imposition=imposition))
    sides = imposed(pages, imposition)
    # Pages that are reduced have thinner strokes, and so they are looked at more closely.
    dots = round(DOTS / sides[0].pages[0].scale)
    subprocess.run(["pdftoppm", "-gray", "-r", str(dots), "x.pdf", "p"], cwd=folder, check=True)
    found = []
    for sheet, path in zip(sides, sorted(folder.glob("p-*.pgm")), strict=True):
        printed = Image.open(path).convert("L")
        box = Box(0, 0, printed.width, printed.height)
        seen = painted(sheet, box, dots / 72, 1.0, "#000000", "#ffffff").toImage()
        seen = seen.convertToFormat(QImage.Format.Format_Grayscale8)
        size = (seen.width(), seen.height())
        assert size == printed.size
        shown = Image.frombytes("L", size, bytes(seen.constBits()), "raw", "L", seen.bytesPerLine(), 1)
        found.append((printed, shown))
    return found


CASES = [
    *((path, Edition.STUDENT, Imposition.SINGLE) for path in SAMPLES),
    *((SAMPLES[1], edition, Imposition.SINGLE) for edition in Edition if edition is not Edition.STUDENT),
    (SAMPLES[3], Edition.STUDENT, Imposition.BOOKLET),
]


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not here")
@pytest.mark.parametrize(
    ("path", "edition", "imposition"), CASES, ids=[f"{one[0].stem}-{one[1].value}-{one[2].value}" for one in CASES]
)
def test_the_screen_shows_what_is_printed(
    qtbot: QtBot, tmp_path: Path, path: Path, edition: Edition, imposition: Imposition
) -> None:
    """A note that stood elsewhere on paper or a letter that were missing would be a promise broken."""
    make_application()
    for printed, seen in pictures(path, edition, imposition, tmp_path):
        for one, other in ((printed, seen), (seen, printed)):
            far, dark = far_dots(one, other)
            assert dark > 1000
            assert far <= FAR * dark


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not here")
def test_a_shift_of_three_dots_or_a_missing_letter_would_be_found(qtbot: QtBot, tmp_path: Path) -> None:
    """The measure is no formality: half a millimetre is seen, and so is a hole of a letter's size."""
    make_application()
    ((printed, seen), *_) = pictures(SAMPLES[1], Edition.STUDENT, Imposition.SINGLE, tmp_path)
    far, dark = far_dots(printed, ImageChops.offset(seen, 3, 0))
    assert far > 20 * FAR * dark
    box = seen.point([255 if value < DARK else 0 for value in range(256)]).getbbox()
    assert box is not None
    seen.paste(255, (box[0], box[1], box[0] + 18, box[1] + 30))
    far, dark = far_dots(printed, seen)
    assert far > FAR * dark
