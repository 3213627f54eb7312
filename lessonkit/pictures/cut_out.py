"""A single block as a small page of its own, so that whatever draws pages draws it too."""

from __future__ import annotations

from lessonkit.drawing.shapes import Placed
from lessonkit.lesson.lesson import Block, Lesson
from lessonkit.pages.blocks import draw_block, look_of
from lessonkit.pages.page import Page, PlacedBlock

MARGIN = 9.0
"""The white around a block, in points."""


def cut_out(block: Block, lesson: Lesson, shows_answers: bool = False) -> Page:
    """The block with its caption on a page that is as large as it; raises ValueError for what has no drawing."""
    drawn = draw_block(block, lesson, look_of(lesson, shows_answers))
    parts: list[PlacedBlock] = []
    y, width = MARGIN, 0.0
    for number, part in enumerate(drawn.parts):
        y += part.above if number else 0.0
        parts.append(PlacedBlock(Placed(part.drawing, MARGIN, y), block.id, number))
        y += part.drawing.height
        width = max(width, part.drawing.width)
    if not parts:
        raise ValueError("a page break has no picture; choose another block")
    return Page(width + 2 * MARGIN, y + MARGIN, 1, tuple(parts))
