"""What holds for every handout that goes out: sound, small, the same every time, its words in the order of reading."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pypdf
import pytest

from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.prose import TOLD_LINE
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.page import Page
from lessonkit.storage.lesson_file import read_lesson

SAMPLES = sorted((Path(__file__).resolve().parents[2] / "sample_lessons").glob("*.lesson"))
EVERY = [
    *((path, Edition.STUDENT) for path in SAMPLES),
    *((path, edition) for path in SAMPLES[1:5:3] for edition in Edition if edition is not Edition.STUDENT),
]
"""Every lesson for its student, and two of them in all editions; the sweep takes all of them."""

HANDOUTS = pytest.mark.parametrize(("path", "edition"), EVERY, ids=[f"{path.stem}-{one.value}" for path, one in EVERY])
MOST_BYTES = 60_000
"""The most bytes of a page on average, so that handouts can go by mail."""


def made(path: Path, edition: Edition) -> tuple[tuple[Page, ...], bytes]:
    lesson = read_lesson(path)
    pages = edition_pages(lesson, edition)
    return pages, pdf_bytes(pages, lesson.title, lesson.author)


def check(path: Path, edition: Edition) -> tuple[int, int]:
    """Everything that can be seen from outside; answers how many bytes and pages there are."""
    pages, content = made(path, edition)
    assert made(path, edition)[1] == content
    with pikepdf.open(io.BytesIO(content)) as pdf:
        # What the command qpdf --check says.
        assert not (getattr(pdf, "check_pdf_syntax", None) or pdf.check)()
        fonts = [item for item in pdf.objects if isinstance(item, pikepdf.Dictionary) and item.get("/Type") == "/Font"]
        for font in fonts:
            assert "/FontFile2" in font["/FontDescriptor"], font["/BaseFont"]
            assert "/ToUnicode" in font
            assert re.match(r"/[A-Z]{6}\+", str(font["/BaseFont"]))
        for page in pdf.pages:
            used = page.Resources.get("/Font", {})
            assert {str(font["/BaseFont"]) for font in used.values()} <= {str(font["/BaseFont"]) for font in fonts}
    read = pypdf.PdfReader(io.BytesIO(content))
    for page, seen in zip(pages, read.pages, strict=True):
        _assert_in_order([*lines_of(page)], squeezed(seen.extract_text()))
    return len(content), len(pages)


def lines_of(page: Page) -> Iterator[str]:
    """The lines of prose, captions and aids of a page in the order in which they are read, and nothing of the music."""
    for part in page.parts:
        marks = part.placed.drawing.marks
        if not part.is_around and not any(mark.kind in ("staff", "map cell") for mark in marks):
            # A line to write on is told, and has no letters.
            yield from (squeezed(mark.detail.replace(TOLD_LINE, "")) for mark in marks if mark.kind == "text")


def squeezed(text: str) -> str:
    """Without blanks: a reader that finds letters apart may part words as it likes."""
    return "".join(text.split())


def _assert_in_order(lines: list[str], text: str) -> None:
    place = 0
    for line in lines:
        found = text.find(line, place)
        assert found >= 0, f"{line!r} is missing, or stands before {text[max(0, place - 40) : place]!r}"
        place = found + len(line)


@HANDOUTS
def test_a_handout_is_sound_and_reads_in_order(path: Path, edition: Edition) -> None:
    """Valid, every font inside as a subset, the same bytes twice, and no line out of its place."""
    size, count = check(path, edition)
    assert size <= MOST_BYTES * count


@pytest.mark.whole
def test_all_handouts_of_the_gallery_are_sound_and_small() -> None:
    """Every lesson in every edition."""
    sizes = [check(path, edition) for path in SAMPLES for edition in Edition]
    size, count = sum(size for size, _ in sizes), sum(count for _, count in sizes)
    print(f"\n{size} bytes on {count} pages, {size / count / 1000:.1f} kB a page")
    assert size <= MOST_BYTES * count
