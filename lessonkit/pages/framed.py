"""A quiet frame with a sentence, in the place of what cannot be drawn."""

from __future__ import annotations

from typing import Any

from lessonkit.drawing.shapes import Drawing, Mark, Rect, Text
from lessonkit.lesson.prose import Words
from lessonkit.pages.page_look import PageLook
from lessonkit.pages.parts import BlockDrawing, Part
from lessonkit.pages.style import FAINT, SPACE_BETWEEN_BLOCKS
from lessonkit.pages.text_flow import set_lines
from lessonkit.theory.label_style import LabelStyle


def framed(title: str, sentence: str, labels: LabelStyle, look: PageLook, fill: float | None = None) -> BlockDrawing:
    """A quiet frame with a sentence, in the place of what cannot be drawn."""
    style, width, grid = look.letters.caption, look.prose_width, look.letters.grid
    inset = 1.5 * grid
    sentence = sentence[:1].upper() + sentence[1:].rstrip(".") + "."
    spans = (Words(title, bold=True), Words(f" · {sentence}"))
    lines = set_lines(spans, style, width - 2 * inset, labels)
    height = len(lines) * style.leading + grid
    stroke, tone = look.letters.rule(0.6, FAINT)
    inset_frame = stroke / 2
    shapes: list[Any] = [
        Rect(inset_frame, inset_frame, width - stroke, height - stroke, fill, 0.0 if fill is not None else stroke,
             tone, round=3)
    ]  # fmt: skip
    marks: list[Mark] = []
    for place, line in enumerate(lines):
        drawn = line.drawing(style, look.width, inset)
        down = grid / 2 + place * style.leading
        shapes += [shape._replace(y=shape.y + down) for shape in drawn.shapes if isinstance(shape, Text)]
        marks += [mark._replace(box=mark.box.moved(0, down)) for mark in drawn.marks]
    drawing = Drawing(look.width, height, tuple(shapes), tuple(marks), f"{title}. {sentence}")
    return BlockDrawing((Part(drawing, SPACE_BETWEEN_BLOCKS * look.letters.scale),))
