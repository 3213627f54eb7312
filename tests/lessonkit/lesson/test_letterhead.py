"""The picture at the head of a page: what is taken, what is refused, and that it is kept and printed."""

from __future__ import annotations

import io
import zlib
from dataclasses import replace

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as some
from PIL import Image

from lessonkit.handout.pdf import pdf_bytes
from lessonkit.lesson.change import change_between
from lessonkit.lesson.lesson import House, Lesson
from lessonkit.lesson.letterhead import MOST_BYTES, Letterhead
from lessonkit.pages.flow import pages_of
from lessonkit.pages.head import HIGHEST_LETTERHEAD, LETTERHEAD
from lessonkit.storage.lesson_file import LessonFileError, lesson_from_bytes, lesson_to_bytes


def picture(kind: str, width: int = 120, height: int = 30) -> bytes:
    """A picture made by another library."""
    out = io.BytesIO()
    Image.new("RGB", (width, height), "grey").save(out, kind)
    return out.getvalue()


def with_picture(content: bytes) -> Lesson:
    return Lesson(author="Lantern Street Piano Room", house=House(letterhead=Letterhead(content)))


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_picture_is_kept_and_printed(kind: str) -> None:
    """In the file, on the first page, in the PDF with words for who cannot see it."""
    lesson = with_picture(picture(kind))
    assert lesson.house.letterhead is not None
    assert lesson.house.letterhead.size == (120, 30)
    assert lesson_from_bytes(lesson_to_bytes(lesson), "x") == lesson
    pages = pages_of(lesson)
    marks = [mark for part in pages[0].parts for mark in part.placed.drawing.marks if mark.kind == LETTERHEAD]
    [mark] = marks
    assert mark.box.bottom == HIGHEST_LETTERHEAD
    assert mark.box.right == HIGHEST_LETTERHEAD * 4
    with pikepdf.open(io.BytesIO(pdf_bytes(pages, "x"))) as pdf:
        kinds = [str(one.Subtype) for one in pdf.pages[0].Resources.XObject.values()]
        assert kinds.count("/Image") == 1


def test_a_wide_picture_is_as_wide_as_the_text() -> None:
    """It never leaves the page."""
    pages = pages_of(with_picture(picture("PNG", 2000, 60)))
    [part] = [one for one in pages[0].parts if one.placed.drawing.spoken.startswith("Letterhead")]
    assert part.placed.drawing.marks[0].box.right == pytest.approx(part.placed.drawing.width)
    assert part.placed.box.right <= pages[0].width


def test_a_lesson_without_one_is_written_as_before() -> None:
    """Files of before stay as they are; another picture is another head."""
    assert b"letterhead" not in lesson_to_bytes(Lesson())
    one, other = with_picture(picture("PNG")), with_picture(picture("PNG", 60, 30))
    assert change_between(one, other).is_head_changed
    assert not change_between(one, replace(one)).is_head_changed


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "neither a PNG nor a JPEG"),
        (b"GIF89a" + bytes(50), "neither a PNG nor a JPEG"),
        (picture("PNG")[:-12], "not whole"),
        (picture("PNG")[:60] + b"x" + picture("PNG")[61:], "damaged"),
        (picture("JPEG")[:-40], "not whole"),
        (b"\xff\xd8\xff\xe0" + bytes(30), "damaged"),
        (picture("PNG", 4000, 2001), "too large"),
        (picture("PNG", 2, 60), "too narrow"),
        (bytes(MOST_BYTES + 1), "larger than"),
    ],
)
def test_what_cannot_be_printed_is_refused(content: bytes, words: str) -> None:
    """With one sentence, before it is in a lesson."""
    with pytest.raises(ValueError, match=words):
        Letterhead(content)


def test_a_picture_that_unpacks_without_end_is_refused() -> None:
    """A small file that claims a small size and holds a gigabyte."""

    def part(kind: bytes, data: bytes) -> bytes:
        return len(data).to_bytes(4, "big") + kind + data + zlib.crc32(kind + data).to_bytes(4, "big")

    head = (4).to_bytes(4, "big") * 2 + bytes((8, 2, 0, 0, 0))
    bomb = part(b"IHDR", head) + part(b"IDAT", zlib.compress(bytes(20_000_000))) + part(b"IEND", b"")
    with pytest.raises(ValueError, match="more than its size"):
        Letterhead(b"\x89PNG\r\n\x1a\n" + bomb)


@given(some.binary(max_size=300), some.sampled_from([b"", b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff"]))
def test_no_bytes_end_in_another_error(content: bytes, start: bytes) -> None:
    """Whatever a file holds, it costs a sentence."""
    with pytest.raises(ValueError, match="picture"):
        Letterhead(start + content)


def test_a_file_with_no_picture_in_its_place_is_refused() -> None:
    """By the place."""
    text = lesson_to_bytes(with_picture(picture("PNG"))).decode()
    before, _, rest = text.partition('"letterhead": "')
    for words in ("no base64!", "AAAA"):
        broken = f'{before}"letterhead": "{words}"{rest.partition(chr(34))[2]}'
        with pytest.raises(LessonFileError, match=r"house\.letterhead"):
            lesson_from_bytes(broken.encode(), "x.lesson")
