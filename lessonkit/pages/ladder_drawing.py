"""A tempo ladder: a row of metronome marks with a box each, to be ticked when the drill is safe at that tempo."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.drawing.shapes import Box, Drawing, Mark, Rect, Shape
from lessonkit.pages.paper import TEXT_WIDTH
from lessonkit.pages.style import CAPTION, GRID, SOFT, TextStyle
from lessonkit.pages.text_flow import line_of

_BOX = 8.0
"""The side of a box in points: large enough for a tick of the pencil."""

_TO_BOX = 3.5
_BETWEEN = 2 * GRID


def ladder_drawing(marks: Sequence[int], beat: str, width: float = TEXT_WIDTH, style: TextStyle = CAPTION) -> Drawing:
    """The marks in a row behind the note that is counted."""
    shapes: list[Shape] = []
    y = style.base_line
    x = 0.0
    side = _BOX * style.size / CAPTION.size
    for place, text in enumerate((f"{beat} =", *map(str, marks))):
        line = line_of(text, style)
        shapes += [shape._replace(x=shape.x + x, y=shape.y + y) for shape in line.shapes]
        x += line.width
        if place:
            # The box stands on the base line, as high as a capital and a little more.
            stroke = 0.6 * style.size / CAPTION.size
            shapes.append(Rect(x + _TO_BOX, y - side + 0.8, side, side, None, stroke, min(SOFT, style.tone)))
            x += _TO_BOX + side
        x += _BETWEEN if place else GRID
    words = f"Tempo ladder: {beat} = {', '.join(map(str, marks))}"
    box = Box(0.0, y - side, x - _BETWEEN, y + 2)
    return Drawing(width, style.leading + 2, tuple(shapes), (Mark("text", "", box, words),), words)
