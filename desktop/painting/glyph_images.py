"""Glyphs of the music font as small ready pictures, each at four places within a pixel in both directions.

Filling a notehead's outline takes Qt several times as long as copying it. A quarter of a device pixel is finer than
the eye, and finer than Qt's own text, which stands on whole pixels vertically and would lift heads off their lines.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from math import ceil, floor

from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QImage, QPaintDevice, QPainter, QPainterPath, QPixmap, QTransform

STEPS = 4
"""Into how many places a pixel is divided, across and down."""

LARGEST = 160.0
"""From this size in pixels on an outline is filled as it stands: large pictures would fill the memory."""


def pixels_a_unit(device: QPaintDevice, transform: QTransform) -> float:
    """How many pixels of a picture one unit of its painter takes, or 0 where glyphs cannot be copied into it."""
    is_plain = isinstance(device, (QImage, QPixmap)) and device.devicePixelRatio() == 1.0
    is_even = transform.m11() == transform.m22() > 0 and transform.m12() == transform.m21() == 0
    return transform.m11() if is_plain and is_even else 0.0


@lru_cache(maxsize=4096)
def glyph_image(
    code: int, size: float, across: int, down: int, colour: int, path: Callable[[int, float], QPainterPath]
) -> tuple[QImage, int, int]:
    """A glyph ``size`` pixels high at a place within its pixel, with the place of the picture beside the origin's."""
    outline = path(code, size).translated(across / STEPS, down / STEPS)
    box = outline.boundingRect()
    left, top = floor(box.left()) - 1, floor(box.top()) - 1
    image = QImage(
        ceil(box.right()) + 2 - left, ceil(box.bottom()) + 2 - top, QImage.Format.Format_ARGB32_Premultiplied
    )
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.fillPath(outline.translated(-left, -top), QColor.fromRgba(colour))
    painter.end()
    return image, left, top
