"""Drawings as pixels, kept so that scrolling and repainting an unchanged page only copies them."""

from __future__ import annotations

from collections import OrderedDict

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPixmap

from desktop.painting.qt_painter import QtPainter
from lessonkit.drawing.shapes import Drawing, Placed, paint

MOST_BYTES = 160 * 2**20
"""The most memory that the pixels take, in bytes."""

_BLEED = 12.0
"""Ink may reach beyond a drawing's own rectangle by so many points: slurs, fingers, long chord names."""

_SMALL = 4
"""Drawings of so few shapes are quick to compare."""


class DrawingPixmaps:
    """Pictures of drawings at one scale in one pair of colours. Another scale or colour empties it.

    A drawing is known by its identity: comparing thousands of shapes would take longer than painting them. Keeping
    the drawing keeps its identity from being used again.
    """

    def __init__(self) -> None:
        self._kept: OrderedDict[int | Drawing, tuple[Drawing, QPixmap]] = OrderedDict()
        self._bytes = 0
        self._look: tuple[float, float, str, str] = (0.0, 0.0, "", "")
        self.painted = 0
        """How many drawings have been painted anew; the tests of the cache count them."""

    def dress(self, scale: float, ratio: float, ink: str, paper: str) -> None:
        """Paint from now on at so many pixels a point, so many device pixels a pixel, in these colours."""
        if (scale, ratio, ink, paper) != self._look:
            self._look = (scale, ratio, ink, paper)
            self._kept.clear()
            self._bytes = 0

    def draw(self, placed: Placed, x: float, y: float, painter: QPainter) -> None:
        """Copy a drawing to a page whose corner lies at (x, y), painting it first if it is new."""
        scale, ratio, _, _ = self._look
        pixmap = self._pixmap(placed.drawing)
        # Whole device pixels keep the copy as sharp as the picture.
        left = round((x + (placed.x - _BLEED) * scale) * ratio) / ratio
        top = round((y + (placed.y - _BLEED) * scale) * ratio) / ratio
        painter.drawPixmap(QPointF(left, top), pixmap)

    def _pixmap(self, drawing: Drawing) -> QPixmap:
        # Titles and page numbers are set anew with each flow; being small, they are known by what they say.
        name = drawing if len(drawing.shapes) <= _SMALL else id(drawing)
        kept = self._kept.get(name)
        if kept is not None:
            self._kept.move_to_end(name)
            return kept[1]
        pixmap = self._painted(drawing)
        self._kept[name] = (drawing, pixmap)
        self._bytes += _bytes(pixmap)
        while self._bytes > MOST_BYTES and len(self._kept) > 1:
            _, (_, oldest) = self._kept.popitem(last=False)
            self._bytes -= _bytes(oldest)
        return pixmap

    def _painted(self, drawing: Drawing) -> QPixmap:
        scale, ratio, ink, paper = self._look
        per_point = scale * ratio
        width = max(1, round((drawing.width + 2 * _BLEED) * per_point))
        height = max(1, round((drawing.height + 2 * _BLEED) * per_point))
        pixmap = QPixmap(width, height)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.scale(per_point, per_point)
        paint(Placed(drawing, _BLEED, _BLEED), QtPainter(painter, ink, paper))
        painter.end()
        # Told only now: a painter that counts in the pixmap's own pixels can copy its glyphs.
        pixmap.setDevicePixelRatio(ratio)
        self.painted += 1
        return pixmap


def _bytes(pixmap: QPixmap) -> int:
    return pixmap.width() * pixmap.height() * 4
