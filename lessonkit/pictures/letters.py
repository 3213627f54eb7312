"""Outlines of the letters of our own faces, so that a picture looks alike wherever it is opened."""

from __future__ import annotations

from functools import lru_cache
from io import BytesIO
from typing import Any

from lessonkit.drawing.fonts import font_file
from lessonkit.drawing.shapes import Face

UNITS = 1000
"""Units of an outline to one font size; y grows downwards."""


@lru_cache(maxsize=2048)
def letter_outline(face: Face, letter: str) -> str:
    """The outline of a letter as the steps of an SVG path; empty for a blank."""
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen

    font, glyphs, names = _font(face)
    scale = UNITS / font["head"].unitsPerEm
    pen: Any = SVGPathPen(glyphs, ntos=lambda number: f"{number:.0f}")
    glyphs[names.get(ord(letter), ".notdef")].draw(TransformPen(pen, (scale, 0, 0, -scale, 0, 0)))
    steps: str = pen.getCommands()
    return steps


@lru_cache(maxsize=len(Face))
def _font(face: Face) -> tuple[Any, Any, dict[int, str]]:
    from fontTools.ttLib import TTFont

    font: Any = TTFont(BytesIO(font_file(face).read_bytes()), lazy=True)
    return font, font.getGlyphSet(), font.getBestCmap()
