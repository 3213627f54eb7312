"""What a student is given to write on: empty staves, and boxes under the twelve keys."""

from __future__ import annotations

from itertools import pairwise

import pytest

from lessonkit.drawing.shapes import Drawing, Glyph, Line, Rect
from lessonkit.lesson.aids.empty_staves import EmptyStaves, StaffKind
from lessonkit.lesson.aids.keys_of_the_day import KeysOfTheDay
from lessonkit.lesson.lesson import Aid, Lesson
from lessonkit.lesson.page_aid import Stands
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.editions import Edition, edition_pages
from lessonkit.pages.parts import Part
from lessonkit.pages.talking import talking_score
from lessonkit.theory.key import Key

LESSON = Lesson(key=Key.parse("D"))


def parts_of(shows: EmptyStaves) -> tuple[Part, ...]:
    return draw_block(Aid(shows, "a"), LESSON, look_of(LESSON)).parts


def staff_lines(drawing: Drawing) -> list[float]:
    """How far down the level lines are that begin a staff, the rule above the heading left out."""
    lines = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.y1 == shape.y2 and shape.y1 > 1]
    return sorted(line.y1 for line in lines)


def test_each_staff_has_five_lines_far_enough_apart_for_a_hand() -> None:
    """7.5 mm a staff, as music paper for beginners has it (common practice, no source)."""
    (part,) = parts_of(EmptyStaves(kind=StaffKind.BOTH, systems=1, heading_words="-"))
    lines = staff_lines(part.drawing)
    assert len(lines) == 10
    for staff in (lines[:5], lines[5:]):
        assert staff[4] - staff[0] >= 7.5 * 72 / 25.4 - 0.01


def test_the_signature_is_that_of_the_lesson_in_each_clef() -> None:
    """D major: F sharp and C sharp, on the fifth line and third space, in the bass a third lower (common practice)."""
    (part,) = parts_of(EmptyStaves(kind=StaffKind.BOTH, systems=1, heading_words="-"))
    lines = staff_lines(part.drawing)
    space = (lines[4] - lines[0]) / 4
    sharps = [shape for shape in part.drawing.shapes if isinstance(shape, Glyph) and shape.code == 0xE262]
    assert [round((lines[4] - one.y) / space * 2) for one in sharps[:2]] == [8, 5]
    assert [round((lines[9] - one.y) / space * 2) for one in sharps[2:]] == [6, 3]
    bare = parts_of(EmptyStaves(shows_signature=False, systems=1, heading_words="-"))
    assert [one.code for one in bare[0].drawing.shapes if isinstance(one, Glyph)] == [0xE050]


@pytest.mark.parametrize("bars", [0, 1, 4])
def test_bars_are_equally_wide(bars: int) -> None:
    """The first is not shorter by its clef."""
    (part,) = parts_of(EmptyStaves(kind=StaffKind.BARE, systems=1, bars=bars, heading_words="-"))
    ends = sorted(shape.x1 for shape in part.drawing.shapes if isinstance(shape, Line) and shape.x1 == shape.x2)
    assert len(ends) == bars
    widths = [after - before for before, after in pairwise(ends)]
    assert widths == pytest.approx(widths[:1] * len(widths), abs=0.5)


def test_words_stay_with_the_first_staff_and_a_page_may_end_between_the_others() -> None:
    """A task whose staves stand overleaf is overlooked."""
    parts = parts_of(EmptyStaves(task="Your own line", systems=3))
    assert [part.keeps for part in parts] == [True, False, False, False]
    half = parts_of(EmptyStaves(kind=StaffKind.BOTH, systems=6, stands=Stands.HALF))
    assert len(half) == 1


def test_staves_are_told_and_stand_in_every_edition() -> None:
    """Who listens hears what is to be written, and large print has larger staves."""
    lesson = Lesson(key=Key.parse("D"), blocks=(Aid(EmptyStaves(task="Your own line", systems=1), "a"),))
    told = talking_score(lesson)
    assert "Your own line" in told
    assert "empty staff to write on, treble clef, D major, 4 bars" in told
    heights = {}
    for edition in (Edition.STUDENT, Edition.LARGE):
        boxes = [
            mark.box
            for page in edition_pages(lesson, edition)
            for part in page.parts
            for mark in part.placed.drawing.marks
            if mark.kind == "empty staff"
        ]
        heights[edition] = boxes[0].bottom - boxes[0].top
    assert heights[Edition.LARGE] >= 12 * 72 / 25.4 - 0.01 > heights[Edition.STUDENT]


def test_boxes_stand_below_each_of_the_twelve_keys() -> None:
    """A key is ticked when the first try was right; boxes lie on nothing and within the aid."""
    shows = KeysOfTheDay(boxes=3, heading_words="-")
    (part,) = draw_block(Aid(shows, "a"), LESSON, look_of(LESSON)).parts
    cells = [mark.box for mark in part.drawing.marks if mark.kind == "key cell"]
    boxes = [shape for shape in part.drawing.shapes if isinstance(shape, Rect) and shape.width == shape.height]
    assert (len(cells), len(boxes)) == (12, 36)
    for place, box in enumerate(boxes):
        cell = cells[place // 3]
        assert cell.left <= box.x
        assert box.x + box.width <= cell.right
        assert cell.bottom < box.y
        assert box.y + box.height <= part.drawing.height
    assert "boxes to tick below each" in part.drawing.pieces[0].words
