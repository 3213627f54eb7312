"""How wide text is: the only ruler of the house. Widths are the fonts' own advances added up, without kerning.

Whoever paints must paint without kerning too; then screen and print agree with what was measured here.
"""

from __future__ import annotations

from functools import lru_cache

from lessonkit.drawing.fonts import advances, runs
from lessonkit.drawing.shapes import Face, Text

AIR = {Face.SERIF_ITALIC: 0.06, Face.SERIF_BOLD_ITALIC: 0.06, Face.SPARE_ITALIC: 0.06}
"""What a sign of our own stands off a slanting letter before it, in ems: such letters lean over their end."""

_OWN = (Face.SIGNS, Face.SIGNS_BOLD)


def text_width(text: str, face: Face, size: float) -> float:
    """The width of a text in points at a size in points; signs that the face lacks are measured in their own face."""
    return _placed(text, face)[1] * size


def text_shapes(text: str, x: float, y: float, face: Face, size: float, tone: float = 0.0) -> tuple[Text, ...]:
    """The runs of one piece of text set from x on the base line y, one for each face that it needs."""
    return tuple(
        Text(x + ems * size, y, piece, piece_face, size, tone) for piece, piece_face, ems in _placed(text, face)[0]
    )


@lru_cache(maxsize=65536)
def _placed(text: str, face: Face) -> tuple[tuple[tuple[str, Face, float], ...], float]:
    """The runs of a text, each with where it begins in ems, and the width of all."""
    found: list[tuple[str, Face, float]] = []
    air, x = AIR.get(face, 0.0), 0.0
    for piece, piece_face in runs(text, face):
        table = advances(piece_face)
        missing = table[0]
        if air and found and piece_face in _OWN:
            x += air
        found.append((piece, piece_face, x))
        for sign in piece:
            x += table.get(ord(sign), missing)
    return tuple(found), x
