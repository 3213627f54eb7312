"""One lesson in several editions: for the student, the teacher, large print, parents, and the answers by themselves.

Each is worked out from the same lesson; nothing is kept twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import Enum

from lessonkit.drawing.uncollected import uncollected
from lessonkit.lesson.aids.parent_note import ParentNote
from lessonkit.lesson.lesson import Aid, Lesson, Note
from lessonkit.lesson.page_aid import Stands
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import answer_blocks, flow, pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import PageLook, Reading
from lessonkit.pages.style import LARGE

LEAST_LARGE_STAFF = 12.0
"""The staff of large print in millimetres, unless the lesson's own is larger still."""

FOR_PARENTS = frozenset({"parent-note", "practice-log", "cautions"})
"""The aids that parents get."""

NO_ANSWERS = "No drill of this lesson asks for anything to be filled in."


class Edition(Enum):
    """For whom a lesson is printed."""

    STUDENT = "student"
    TEACHER = "teacher"
    ANSWERS = "answers"
    LARGE = "large"
    PARENT = "parent"


def edition_pages(lesson: Lesson, edition: Edition, reading: Reading = Reading.STAFF) -> tuple[Page, ...]:
    """The pages of a lesson in an edition."""
    return EDITIONS[edition](lesson, replace(look_of(lesson), reading=reading))


def _student(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    return pages_of(lesson, look=look)


def _teacher(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    return pages_of(lesson, shows_answers=True, look=look, is_for_teacher=True)


def _answers(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    """The answers below the lesson's head; where there are none, a line that says so."""
    with uncollected():
        answers = answer_blocks(lesson, look)
        bare = replace(lesson, aims="", blocks=() if answers else (Note(NO_ANSWERS, "none"),))
        return flow(bare, lambda block: draw_block(block, bare, look), answers, look)


def _large(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    """Not plain enlargement: bold black letters without serifs, a larger staff, fewer bars a line."""
    staff = max(LEAST_LARGE_STAFF, look.staff_height)
    return pages_of(lesson, look=replace(look, letters=LARGE, staff_height=staff))


def _parent(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    """The lesson's own notes for parents, or one in usual words, with the log and the line of care."""
    blocks = [
        replace(block, shows=replace(block.shows, stands=Stands.WHOLE))
        for block in lesson.blocks
        if isinstance(block, Aid) and block.shows.code in FOR_PARENTS
    ]
    if not any(block.shows.code == ParentNote.code for block in blocks):
        blocks.insert(0, Aid(ParentNote(), "parents"))
    page = replace(lesson, aims="", blocks=tuple(blocks))
    return pages_of(page, look=look)


EDITIONS: dict[Edition, Callable[[Lesson, PageLook], tuple[Page, ...]]] = {
    Edition.STUDENT: _student,
    Edition.TEACHER: _teacher,
    Edition.ANSWERS: _answers,
    Edition.LARGE: _large,
    Edition.PARENT: _parent,
}
"""Every edition and who makes it; a test holds that none is missing."""
