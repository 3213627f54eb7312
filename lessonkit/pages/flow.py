"""Parts of blocks flow onto pages. What is kept together stays together; the time is in proportion to the blocks."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from itertools import chain, pairwise

from lessonkit.drawing.uncollected import uncollected
from lessonkit.drills.exercise import Exercise
from lessonkit.lesson import prose
from lessonkit.lesson.cautions import caution_of
from lessonkit.lesson.edits import without_teacher_notes
from lessonkit.lesson.lesson import Aid, Block, Drill, Heading, Lesson, Note, UnknownDrill
from lessonkit.lesson.page_aid import At
from lessonkit.lesson.scene import has_own_care
from lessonkit.pages.blocks import built, draw_block, look_of
from lessonkit.pages.head import caution_parts, furniture, head_of
from lessonkit.pages.layout import Item, Layout
from lessonkit.pages.page import Page
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import SHEETS
from lessonkit.pages.parts import BlockDrawing, Part, Turn
from lessonkit.pages.style import SPACE_BELOW_LEADING_AID, SPACE_UNDER_HEADING

Draw = Callable[[Block], BlockDrawing]

ANSWERS = "Answers"
"""The heading under which answers stand; theirs is the last of its level in a lesson."""

SHORT_DRILL = 3
"""A drill of so many systems or fewer, as a twelve-bar blues has, is not parted where a page has room for all."""

SHORT_NOTE = 4
"""A note of fewer parts stays on one page with the drill that follows it."""


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
        return flow(lesson, lambda block: draw_block(block, lesson, look), answers, look, is_numbered)


def answer_blocks(lesson: Lesson, look: PageLook | None = None) -> tuple[tuple[Block, BlockDrawing], ...]:
    """The worksheets of a lesson with their answers filled in, each below the heading that it stands under."""
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
    """The drills of a lesson that leave something for the student to fill in."""
    for block in lesson.blocks:
        if isinstance(block, Drill):
            exercise = built(block.family, lesson.setting)
            if isinstance(exercise, Exercise) and exercise.has_answers:
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
    look = look or look_of(lesson)
    layout = Layout(SHEETS[lesson.paper], look, lesson.house.is_two_sided)
    layout.place_all(_stream(lesson, drawn, look))
    layout.place_at_foot(_foot(lesson, drawn, look, is_whole))
    layout.place_all(_answer_stream(lesson, tuple(answers), look))
    return _finished(lesson, layout, look, is_numbered)


def _foot(lesson: Lesson, drawn: Draw, look: PageLook, is_whole: bool) -> tuple[tuple[str, Part], ...]:
    """What is kept at the foot: the line of care, unless an aid says it, and the aids that belong there."""
    care = () if has_own_care(lesson) else caution_parts(caution_of(lesson, is_whole), look)
    aids = (block for block in lesson.blocks if isinstance(block, Aid) and block.shows.at is At.FOOT)
    return (*(("", part) for part in care), *((block.id, part) for block in aids for part in drawn(block).parts))


def _stream(lesson: Lesson, drawn: Draw, look: PageLook) -> Iterator[Item | None]:
    """All parts of the lesson in order; None asks for a new page."""
    for name, part in head_of(lesson, look):
        yield Item(part, name, 0, part.above, part.keeps)
    yield from _items((block, drawn(block)) for block in lesson.blocks)


def _answer_stream(
    lesson: Lesson, answers: tuple[tuple[Block, BlockDrawing], ...], look: PageLook
) -> Iterator[Item | None]:
    """The answers under a heading of their own, on a new page."""
    if answers:
        # The answers alone begin below the head.
        if lesson.blocks:
            yield None
        heading = Heading(ANSWERS)
        # Answers are read beside the lesson and not edited, so they belong to no block.
        for item in _items(((heading, draw_block(heading, lesson, look)), *answers)):
            yield item and replace(item, part=replace(item.part, after=Turn.FREE), block_id="")


def _items(blocks: Iterable[tuple[Block, BlockDrawing]]) -> Iterator[Item | None]:
    is_below_heading = was_half = is_lead = False
    pairs: Iterable[tuple[Block, BlockDrawing] | None] = chain(blocks, (None,))
    for one, following in pairwise(pairs):
        assert one is not None
        block, drawing = one
        if drawing.is_break:
            yield None
        if drawing.is_foot:
            continue
        # The first two of a row of halves stand side by side on one page; the others find their place below these.
        if drawing.side is not None and following is not None and isinstance(following[0], Note) and following[1].x:
            side = drawing.side
            yield Item(side, block.id, 0, side.above, True, is_side=True)
            continue
        begins_row = drawing.is_half and not was_half and following is not None and following[1].is_half
        was_half = drawing.is_half
        # A line or two that say what to do with a drill stay with it.
        is_short_note = isinstance(block, Note) and len(drawing.parts) < SHORT_NOTE
        leads_on = is_short_note and following is not None and isinstance(following[0], Drill | UnknownDrill)
        if isinstance(block, Aid) and block.shows.leads and following is not None:
            leads_on = isinstance(following[0], Drill)
        follows_lead, is_lead = is_lead, isinstance(block, Aid) and block.shows.leads
        loose = sum(not part.keeps for part in drawing.parts)
        is_short_drill = isinstance(block, Drill) and loose <= SHORT_DRILL
        last = len(drawing.parts) - 1
        for place, part in enumerate(drawing.parts):
            if place == 0 and follows_lead and isinstance(block, Drill):
                part = replace(part, above=min(part.above, SPACE_BELOW_LEADING_AID))
            holds = leads_on or begins_row or (is_short_drill and place < last)
            above = min(part.above, SPACE_UNDER_HEADING) if is_below_heading and place == 0 else part.above
            keeps = (part.keeps and not drawing.is_half) or holds
            yield Item(part, block.id, place, above, keeps, was_half, drawing.x)
            is_below_heading = part.level > 0


def _finished(lesson: Lesson, layout: Layout, look: PageLook, is_numbered: bool) -> tuple[Page, ...]:
    sheet, count = layout.sheet, len(layout.pages)
    title = prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)
    pages = []
    for number, (parts, outline) in enumerate(zip(layout.pages, layout.outlines, strict=True), 1):
        around = furniture(lesson, title, sheet, look, number, count, parts, is_numbered)
        pages.append(Page(sheet.width, sheet.height, number, (*parts, *around), tuple(outline)))
    return tuple(pages)
