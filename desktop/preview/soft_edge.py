"""The soft edge around a page, painted once as a small sheet's; a large one's is that with its sides drawn long."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPixmap

_REACHES = ((1.0, 34), (2.5, 16), (5.0, 8), (8.0, 4))
"""How far the shadow reaches beyond the page in pixels, and how dark it is there (of 255)."""

_OUT, _IN = 12, 12
"""The corner of the picture: so many pixels outside the page, and so many inside."""

_CORNER = _OUT + _IN
_SIDE = 2 * _CORNER + 1


class SoftEdge:
    """Paints the edge from its picture; another light or a sharper screen needs another picture."""

    def __init__(self) -> None:
        self._look: tuple[float, bool] | None = None
        self._picture = QPixmap()

    def paint(self, painter: QPainter, sheet: QRectF, ratio: float, is_dark: bool) -> None:
        """The edge of a sheet; beneath the sheet itself nothing is painted but its corners."""
        if self._look != (ratio, is_dark):
            self._look, self._picture = (ratio, is_dark), _painted(ratio, is_dark)
        outer = sheet.adjusted(-_OUT, -_OUT, _OUT, _OUT)
        across = ((outer.left(), _CORNER), (outer.left() + _CORNER, outer.width() - 2 * _CORNER))
        down = ((outer.top(), _CORNER), (outer.top() + _CORNER, outer.height() - 2 * _CORNER))
        columns = (*across, (outer.right() - _CORNER, _CORNER))
        rows = (*down, (outer.bottom() - _CORNER, _CORNER))
        for column, (x, width) in enumerate(columns):
            for row, (y, height) in enumerate(rows):
                if (column, row) != (1, 1):
                    painter.drawPixmap(QRectF(x, y, width, height), self._picture, _source(column, row, ratio))


def _source(column: int, row: int, ratio: float) -> QRectF:
    """A piece of the picture in its own pixels: a corner, or the line between two corners."""
    starts, sizes = (0, _CORNER, _CORNER + 1), (_CORNER, 1, _CORNER)
    return QRectF(starts[column] * ratio, starts[row] * ratio, sizes[column] * ratio, sizes[row] * ratio)


def _painted(ratio: float, is_dark: bool) -> QPixmap:
    picture = QPixmap(round(_SIDE * ratio), round(_SIDE * ratio))
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.scale(ratio, ratio)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    sheet = QRectF(_OUT, _OUT, _SIDE - 2 * _OUT, _SIDE - 2 * _OUT)
    for reach, darkness in reversed(_REACHES):
        painter.setBrush(QColor(0, 0, 0, darkness * (2 if is_dark else 1)))
        painter.drawRoundedRect(sheet.adjusted(-reach, -reach + 1, reach, reach + 2), reach + 1, reach + 1)
    painter.end()
    return picture
