"""Parts of blocks flow onto pages. What is kept together stays together; the time is in proportion to the blocks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from lessonkit.drawing.uncollected import uncollected
from lessonkit.drills.exercise import Exercise
from lessonkit.lesson.edits import without_teacher_notes
from lessonkit.lesson.lesson import Block, Drill, Heading, Lesson
from lessonkit.pages.blocks import built, draw_block, look_of
from lessonkit.pages.flowing import Draw, Flowing
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.parts import BlockDrawing

TEACHERS_COPY = "Teacher’s copy"
"""What stands by the title and at the head of every page for the teacher."""


def pages_of(
    lesson: Lesson,
    shows_answers: bool = False,
    look: PageLook | None = None,
    is_for_teacher: bool = False,
    is_numbered: bool = True,
) -> tuple[Page, ...]:
    """The pages of a lesson; with ``shows_answers`` the answers to its worksheets follow on pages of their own.

    Notes for the teacher are on pages for the teacher only. Pages that are bound with others get their numbers there
    and are not ``is_numbered``.
    """
    whole = lesson
    lesson = lesson if is_for_teacher else without_teacher_notes(lesson)
    look = look or look_of(lesson)
    with uncollected():
        answers = answer_blocks(whole, look) if shows_answers else ()
        around = replace(look, copy=TEACHERS_COPY) if is_for_teacher else look
        return flow(lesson, lambda block: draw_block(block, lesson, look), answers, around, is_numbered)


def answer_blocks(lesson: Lesson, look: PageLook | None = None) -> tuple[tuple[Block, BlockDrawing], ...]:
    """The worksheets of a lesson with their answers filled in and the way to these, and the reasons of drills that have
    some, each below the heading that it stands under.
    """
    look = replace(look or look_of(lesson), shows_answers=True)
    found: list[tuple[Block, BlockDrawing]] = []
    heading: Heading | None = None
    asking = {block.id for block in worksheets(lesson)}
    for block in lesson.blocks:
        if isinstance(block, Heading):
            heading = block
        elif block.id in asking:
            if heading is not None:
                smaller = replace(heading, level=2)
                found.append((smaller, draw_block(smaller, lesson, look)))
                heading = None
            found.append((block, draw_block(block, lesson, look)))
    return tuple(found)


def worksheets(lesson: Lesson) -> Iterator[Drill]:
    """The drills of a lesson that leave something for the student to fill in, or something to be explained."""
    for block in lesson.blocks:
        if isinstance(block, Drill):
            exercise = built(block.family, lesson.setting)
            if isinstance(exercise, Exercise) and (exercise.has_answers or block.family.reasons(lesson.setting)):
                yield block


def flow(
    lesson: Lesson,
    drawn: Draw,
    answers: Iterable[tuple[Block, BlockDrawing]] = (),
    look: PageLook | None = None,
    is_numbered: bool = True,
    is_whole: bool = True,
) -> tuple[Page, ...]:
    """The pages of a lesson whose blocks ``drawn`` draws; ``answers`` follow on a new page of their own.

    ``is_whole`` is not so while blocks wait to be drawn: the line of care is then the usual one.

    A lesson has at least one page. Drawings come to stand on the pages unchanged, so that a page that says the same
    holds the same drawings.
    """
    return Flowing().pages(lesson, drawn, answers, look, is_numbered, is_whole)
