"""The faces of the letters around a staff: those of the text on the page, so that a page is set in one family."""

from __future__ import annotations

from typing import NamedTuple

from lessonkit.drawing.shapes import Face


class Lettering(NamedTuple):
    """``regular`` for names and figures, ``italic`` for bar numbers and words, ``bold`` for keys and pinned fingers."""

    regular: Face
    italic: Face
    bold: Face


SERIF = Lettering(Face.SERIF, Face.SERIF_ITALIC, Face.SERIF_BOLD)
"""The letters of ordinary handouts."""

BOLD_SANS = Lettering(Face.SANS_BOLD, Face.SANS_BOLD, Face.SANS_BLACK)
"""The letters of large print, where thin strokes and slanting letters are not read."""
