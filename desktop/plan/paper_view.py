"""A drawing on paper in the window: as it would be printed; what stands at a point can be found by its mark."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QApplication, QWidget

from desktop.painting.qt_painter import QtPainter
from desktop.theme import Tones, tones_of
from desktop.words import say
from lessonkit.drawing.shapes import Drawing, Mark, Placed, paint

SCALE, LEAST_SCALE, MARGIN = 4 / 3, 1.0, 16.0
"""Pixels to a point, as they are where there is room and at least; and the margin around the drawing."""


def mark_under(point: QPointF, drawing: Drawing, kind: str, scale: float) -> Mark | None:
    """The mark of a kind under a point, in pixels, of a drawing that lies on its paper at a scale."""
    x, y = (point.x() - MARGIN) / scale, (point.y() - MARGIN) / scale
    for mark in drawing.marks:
        box = mark.box
        if mark.kind == kind and box.left <= x <= box.right and box.top <= y <= box.bottom:
            return mark
    return None


def paint_on_paper(painter: QPainter, size: QSize, drawing: Drawing | None, scale: float) -> Tones:
    """Paint a sheet of a size in pixels with a drawing on it, if there is one; the painter is then in its points.

    Answers the tones it is painted in.
    """
    tones = tones_of(cast(QApplication, QApplication.instance()))
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QColor(tones.page_edge))
    painter.setBrush(QColor(tones.paper))
    painter.drawRoundedRect(QRectF(0.5, 0.5, size.width() - 1, size.height() - 1), 4, 4)
    painter.translate(MARGIN, MARGIN)
    painter.scale(scale, scale)
    if drawing is not None:
        paint(Placed(drawing, 0.0, 0.0), QtPainter(painter, tones.page_ink, tones.paper))
    return tones


class PaperView(QWidget):
    """Shows one drawing; a mark that is clicked is reported by its name."""

    clicked = Signal(str)
    """The mark of a name is clicked."""

    def __init__(self, kind: str, name: str) -> None:
        super().__init__()
        self._kind = kind
        self._drawing = Drawing(1.0, 1.0, ())
        self.scale = SCALE
        self.chosen = ""
        self.setAccessibleName(name)
        self.setCursor(Qt.CursorShape.ArrowCursor)

    @property
    def drawing(self) -> Drawing:
        """What is shown."""
        return self._drawing

    def show_drawing(self, drawing: Drawing, room: float) -> None:
        """Show a drawing, smaller where there is little room across, in pixels."""
        self._drawing = drawing
        self.scale = max(LEAST_SCALE, min(SCALE, (room - 2 * MARGIN) / drawing.width))
        self.setAccessibleDescription(say(drawing.spoken))
        self.setFixedSize(self.sizeHint())
        self.update()

    def choose(self, name: str) -> None:
        """Mark what a mark of this name shows."""
        if name != self.chosen:
            self.chosen = name
            self.update()

    def mark_at(self, point: QPointF) -> Mark | None:
        """The mark under a point."""
        return mark_under(point, self._drawing, self._kind, self.scale)

    # Qt overrides

    def sizeHint(self) -> QSize:
        drawing = self._drawing
        return QSize(round(drawing.width * self.scale + 2 * MARGIN), round(drawing.height * self.scale + 2 * MARGIN))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        tones = paint_on_paper(painter, self.size(), self._drawing, self.scale)
        for mark in self._drawing.marks:
            if mark.kind == self._kind and mark.name == self.chosen:
                painter.setPen(QPen(QColor(tones.mark), 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                box = mark.box
                painter.drawRoundedRect(QRectF(QPointF(box.left, box.top), QPointF(box.right, box.bottom)), 4, 4)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        mark = self.mark_at(event.position())
        if mark is not None and event.button() is Qt.MouseButton.LeftButton:
            self.clicked.emit(mark.name)
