"""How wide text is: the only ruler of the house. Widths are the fonts' own advances added up, without kerning.

Whoever paints must paint without kerning too; then screen and print agree with what was measured here.
"""

from __future__ import annotations

from functools import lru_cache

from lessonkit.drawing.fonts import advances, runs
from lessonkit.drawing.shapes import Face, Text


def text_width(text: str, face: Face, size: float) -> float:
    """The width of a text in points at a size in points; signs that the face lacks are measured in their own face."""
    return _ems(text, face) * size


def text_shapes(text: str, x: float, y: float, face: Face, size: float, tone: float = 0.0) -> tuple[Text, ...]:
    """The runs of one piece of text set from x on the base line y, one for each face that it needs."""
    shapes = []
    for piece, piece_face in runs(text, face):
        shapes.append(Text(x, y, piece, piece_face, size, tone))
        x += text_width(piece, piece_face, size)
    return tuple(shapes)


@lru_cache(maxsize=65536)
def _ems(text: str, face: Face) -> float:
    total = 0.0
    for piece, piece_face in runs(text, face):
        table = advances(piece_face)
        missing = table[0]
        for sign in piece:
            total += table.get(ord(sign), missing)
    return total
