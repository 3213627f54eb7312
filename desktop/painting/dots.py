"""Difficulty in one to four dots, which read in grey as well as in colour."""

from __future__ import annotations

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from lessonkit.hands.difficulty import Band

DOT, STEP = 5.0, 8.0
"""A dot and the way to the next one, in pixels."""

BANDS = tuple(Band)


def paint_dots(
    painter: QPainter, count: int, left: float, middle: float, ink: QColor, dot: float = DOT, step: float = STEP
) -> None:
    """Four dots of which so many are full, from the left, around a height."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for place in range(len(BANDS)):
        painter.setPen(QPen(ink, 1))
        painter.setBrush(ink if place < count else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QRectF(left + place * step, middle - dot / 2, dot, dot))


def dots_of(band: Band) -> int:
    """One to four dots."""
    return BANDS.index(band) + 1
