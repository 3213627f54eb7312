"""One lesson in several editions: for the student, the teacher, large print, parents, and the answers by themselves.

Each is worked out from the same lesson; nothing is kept twice.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from enum import Enum
from functools import lru_cache

from lessonkit.drawing.uncollected import uncollected
from lessonkit.engraving.lettering import BOLD_SANS
from lessonkit.lesson.aids.cautions import Cautions
from lessonkit.lesson.aids.parent_note import ParentNote
from lessonkit.lesson.aids.practice_log import PracticeLog
from lessonkit.lesson.aids.reflection import Reflection
from lessonkit.lesson.cautions import caution_for_parents
from lessonkit.lesson.lesson import Aid, Block, Drill, Lesson, Note
from lessonkit.lesson.page_aid import Stands
from lessonkit.lesson.parents import aim_for_parents
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.flow import answer_blocks, flow, pages_of
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import PageLook, Reading
from lessonkit.pages.style import LARGE, Letters, scaled

LEAST_LARGE_STAFF = 12.0
"""The staff of large print in millimetres, unless the lesson's own is larger still."""

WEEK, WORDS_TO_TEACHER = "The week", "To the teacher"
TO_TEACHER = "What went well, and what should we know?"
"""What is put on a page for parents that the lesson has nothing of its own for."""

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
    return pages_of(lesson, look=replace(look, letters=LARGE, lettering=BOLD_SANS, staff_height=staff))


def _parent(lesson: Lesson, look: PageLook) -> tuple[Page, ...]:
    """The lesson's own notes for parents, or one in usual words, with a week to fill in, room to write and the care.

    Letters are larger than on a student's page, and key and tempo are left out.
    """
    own = {block.shows.code: block for block in reversed(lesson.blocks) if isinstance(block, Aid)}
    note = own.get(ParentNote.code) or Aid(ParentNote(), "parents")
    week = own.get(PracticeLog.code) or Aid(PracticeLog(heading_words=WEEK, shows_tempo=False), "parents-week")
    words = Aid(Reflection(WORDS_TO_TEACHER, question=TO_TEACHER, line_count=4), "parents-words")
    care = caution_for_parents(lesson)
    cares = (Aid(Reflection(Cautions.heading, question=care, line_count=0), "parents-care"),) if care else ()
    drills = tuple(block.family for block in lesson.blocks if isinstance(block, Drill))
    note = _told_from(note, aim_for_parents(drills, lesson.setting))
    blocks: list[Block] = [
        replace(one, shows=replace(one.shows, stands=Stands.WHOLE)) for one in (note, week, words, *cares)
    ]  # fmt: skip
    page = replace(lesson, aims="", blocks=tuple(blocks))
    return pages_of(page, look=replace(look, letters=_for_parents(look.letters), tells_key=False))


@lru_cache(maxsize=8)
def _for_parents(letters: Letters) -> Letters:
    """A fifth larger, but for the title, which is as the child's page has it."""
    return replace(scaled(letters, f"{letters.name} for parents", 1.2), title=letters.title)


def _told_from(block: Aid, aim: str) -> Aid:
    """A note to parents that says nothing of its own says what the drills do, which are not on its page."""
    if isinstance(block.shows, ParentNote) and not block.shows.aim:
        return replace(block, shows=replace(block.shows, aim=aim))
    return block


EDITIONS: dict[Edition, Callable[[Lesson, PageLook], tuple[Page, ...]]] = {
    Edition.STUDENT: _student,
    Edition.TEACHER: _teacher,
    Edition.ANSWERS: _answers,
    Edition.LARGE: _large,
    Edition.PARENT: _parent,
}
"""Every edition and who makes it; a test holds that none is missing."""
