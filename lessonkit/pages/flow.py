"""Parts of blocks flow onto pages. What is kept together stays together; the time is in proportion to the blocks."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import field, replace
from itertools import chain, pairwise

from lessonkit.drawing.shapes import Placed
from lessonkit.drawing.uncollected import uncollected
from lessonkit.drills.exercise import Exercise
from lessonkit.lesson import prose
from lessonkit.lesson.cautions import caution_of
from lessonkit.lesson.edits import without_teacher_notes
from lessonkit.lesson.lesson import Aid, Block, Drill, Heading, Lesson, Note, UnknownDrill
from lessonkit.lesson.page_aid import At
from lessonkit.lesson.scene import has_own_care
from lessonkit.pages.blocks import built, draw_block, look_of
from lessonkit.pages.columns import Columns
from lessonkit.pages.head import caution_parts, furniture, head_of
from lessonkit.pages.page import OutlineEntry, Page, PlacedBlock
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.paper import SHEETS, Sheet
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.style import GUTTER, SPACE_BELOW_LEADING_AID, SPACE_UNDER_HEADING
from lessonkit.values import dataclass

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
    layout = _Layout(SHEETS[lesson.paper], look)
    layout.place_all(_stream(lesson, drawn, look))
    layout.place_at_foot(_foot(lesson, drawn, look, is_whole))
    layout.place_all(_answer_stream(lesson, tuple(answers), look))
    return _finished(lesson, layout, look, is_numbered)


def _foot(lesson: Lesson, drawn: Draw, look: PageLook, is_whole: bool) -> tuple[tuple[str, Part], ...]:
    """What is kept at the foot: the line of care, unless an aid says it, and the aids that belong there."""
    care = () if has_own_care(lesson) else caution_parts(caution_of(lesson, is_whole), look)
    aids = (block for block in lesson.blocks if isinstance(block, Aid) and block.shows.at is At.FOOT)
    return (*(("", part) for part in care), *((block.id, part) for block in aids for part in drawn(block).parts))


@dataclass(frozen=True, slots=True)
class _Item:
    """A part on its way to a page, with the space above it and its hold on the next one as its neighbours make them."""

    part: Part
    block_id: str
    place: int
    above: float
    keeps: bool
    is_half: bool = False
    """Whether it takes half the width, below or beside its neighbours that do."""
    x: float = 0.0
    is_side: bool = False
    """Whether what follows begins at its height, beside it."""


def _stream(lesson: Lesson, drawn: Draw, look: PageLook) -> Iterator[_Item | None]:
    """All parts of the lesson in order; None asks for a new page."""
    for name, part in head_of(lesson, look):
        yield _Item(part, name, 0, part.above, part.keeps)
    yield from _items((block, drawn(block)) for block in lesson.blocks)


def _answer_stream(
    lesson: Lesson, answers: tuple[tuple[Block, BlockDrawing], ...], look: PageLook
) -> Iterator[_Item | None]:
    """The answers under a heading of their own, on a new page."""
    if answers:
        # The answers alone begin below the head.
        if lesson.blocks:
            yield None
        heading = Heading(ANSWERS)
        # Answers are read beside the lesson and not edited, so they belong to no block.
        for item in _items(((heading, draw_block(heading, lesson, look)), *answers)):
            yield item and replace(item, block_id="")


def _items(blocks: Iterable[tuple[Block, BlockDrawing]]) -> Iterator[_Item | None]:
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
            yield _Item(side, block.id, 0, side.above, True, is_side=True)
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
            yield _Item(part, block.id, place, above, keeps, was_half, drawing.x)
            is_below_heading = part.level > 0


def _clusters(items: Iterable[_Item | None]) -> Iterator[list[_Item] | None]:
    """Runs of parts that stay on one page."""
    cluster: list[_Item] = []
    for item in items:
        if item is None:
            if cluster:
                yield cluster
            cluster = []
            yield None
            continue
        cluster.append(item)
        if not item.keeps:
            yield cluster
            cluster = []
    if cluster:
        yield cluster


@dataclass(slots=True)
class _Layout:
    """The pages while they fill."""

    sheet: Sheet
    look: PageLook
    pages: list[list[PlacedBlock]] = field(default_factory=lambda: [[]])
    outlines: list[list[OutlineEntry]] = field(default_factory=lambda: [[]])
    y: float = 0.0
    columns: Columns = field(default_factory=Columns)
    side_end: float = 0.0
    """Where the last heading beside a note ends."""
    is_beside: bool = False
    """Whether what comes next begins beside such a heading."""
    is_asked_to_break: bool = False

    @property
    def top(self) -> float:
        return self.sheet.first_top if len(self.pages) == 1 else self.sheet.top

    @property
    def room(self) -> float:
        return self.sheet.bottom - self.top

    def place_all(self, items: Iterable[_Item | None]) -> None:
        """Place parts in order, those that stay together on one page."""
        for cluster in _clusters(items):
            if cluster is None:
                self.break_page()
            else:
                self.place(cluster)

    def place_at_foot(self, parts: tuple[tuple[str, Part], ...]) -> None:
        """Place parts of blocks at the foot of the last page that has room below what stands there, or of a new one."""
        if not parts:
            return
        height = sum(part.drawing.height for _, part in parts)
        number = next((place for place in reversed(range(len(self.pages))) if self._end(place) + height <= 0), None)
        if number is None:
            self._new_page()
            number = len(self.pages) - 1
        y = self.sheet.bottom - height
        for name, part in parts:
            self.pages[number].append(PlacedBlock(Placed(part.drawing, self.sheet.left, y), name))
            y += part.drawing.height
        if number == len(self.pages) - 1:
            # Whatever is placed later comes on a new page.
            self.y = self.room

    def _end(self, number: int) -> float:
        """How far above the foot of a page its last part ends, negative, with half a line's space."""
        ends = [part.placed.box.bottom for part in self.pages[number]]
        return max(ends) + self.look.letters.grid - self.sheet.bottom if ends else -self.room

    def break_page(self) -> None:
        """Whatever comes next begins a page; a break after which nothing comes leaves no empty page."""
        if self.is_asked_to_break:
            self._new_page()
        self.is_asked_to_break = True

    def place(self, cluster: list[_Item]) -> None:
        """Place parts that stay together; what is higher than a page is placed part by part."""
        if self.is_asked_to_break:
            self._new_page()
            self.is_asked_to_break = False
        if self.pages[-1] and self.y + self._height(cluster) > self.room and not self._fits_nowhere(cluster):
            self._new_page()
        for item in cluster:
            if item.is_half:
                self._put_half(item)
                continue
            self.columns = Columns()
            above = self._above(item) if self.pages[-1] and not self.is_beside else 0.0
            if self.pages[-1] and self.y + above + item.part.drawing.height > self.room + 0.01:
                self._new_page()
                above = 0.0
            self._put(item, above)

    def _fits_nowhere(self, cluster: list[_Item]) -> bool:
        return self._height(cluster) - self._above(cluster[0]) > self.sheet.bottom - self.sheet.top

    def _height(self, cluster: list[_Item]) -> float:
        """The height below what stands already; snapping to the grid adds up to a step at each space."""
        y, columns, is_beside = self.y, self.columns, self.is_beside
        for item in cluster:
            if item.is_half:
                columns = columns.begun(y + self._above(item, y)).with_one(item.above, item.part.drawing.height)
                y = max(y, columns.end)
                continue
            columns = Columns()
            y += 0.0 if is_beside else self._above(item, y)
            is_beside = item.is_side
            y += 0.0 if item.is_side else item.part.drawing.height
        return y - self.y - 0.01

    def _above(self, item: _Item, y: float | None = None) -> float:
        """The space above a part; what takes the whole width begins below a heading at the side."""
        y = self.y if y is None else y
        if not item.x:
            y_end = max(y, self.side_end)
            return self._snapped(item, y_end) + y_end - y
        return self._snapped(item, y)

    def _snapped(self, item: _Item, y: float) -> float:
        """The space that a part wants above it, stretched so that a block begins on the grid."""
        grid = self.look.letters.grid
        if item.above < grid:
            return item.above
        return math.ceil((y + item.above) / grid - 1e-6) * grid - y

    def _put(self, item: _Item, above: float) -> None:
        self.y += above
        y = self.top + self.y
        placed = Placed(item.part.drawing, self.sheet.left + item.x, y)
        self.pages[-1].append(PlacedBlock(placed, item.block_id, item.place))
        if item.part.outline:
            self.outlines[-1].append(OutlineEntry(item.part.outline, item.part.level, y))
        self.is_beside = item.is_side
        if item.is_side:
            self.side_end = self.y + item.part.drawing.height
        else:
            self.y += item.part.drawing.height

    def _put_half(self, item: _Item) -> None:
        """Put a part of half the width into the column that ends higher; the left one where both end alike."""
        above = self._above(item) if self.pages[-1] else 0.0
        columns = self.columns.begun(self.y + above)
        if self.pages[-1] and columns.with_one(item.above, item.part.drawing.height).end > self.room + 0.01:
            self._new_page()
            columns = Columns().begun(0.0)
        x = self.sheet.left + (self.look.half_width + GUTTER) * columns.next
        y = columns.next_top(item.above)
        self.pages[-1].append(PlacedBlock(Placed(item.part.drawing, x, self.top + y), item.block_id, item.place))
        self.columns = columns.with_one(item.above, item.part.drawing.height)
        self.y = self.columns.end

    def _new_page(self) -> None:
        self.pages.append([])
        self.outlines.append([])
        self.y = self.side_end = 0.0
        self.columns = Columns()
        self.is_beside = False


def _finished(lesson: Lesson, layout: _Layout, look: PageLook, is_numbered: bool) -> tuple[Page, ...]:
    sheet, count = layout.sheet, len(layout.pages)
    title = prose.plain_line(prose.read_line(lesson.title, lesson.setting), lesson.house.label_style)
    pages = []
    for number, (parts, outline) in enumerate(zip(layout.pages, layout.outlines, strict=True), 1):
        around = furniture(lesson, title, sheet, look, number, count, parts, is_numbered)
        pages.append(Page(sheet.width, sheet.height, number, (*parts, *around), tuple(outline)))
    return tuple(pages)
