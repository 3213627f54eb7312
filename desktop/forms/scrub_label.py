"""The words beside a number, drawn to the left or right to step it: quicker than arrows, finer than typing."""

from __future__ import annotations

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QLabel

PIXELS_A_STEP = 8
"""How far the hand goes for one step."""


class ScrubLabel(QLabel):
    """A label that steps while it is drawn."""

    stepped = Signal(int)
    """So many steps further."""

    settled = Signal()
    """The hand let go."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self._at: QPointF | None = None
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setCursor(Qt.CursorShape.SizeHorCursor)

    # Qt overrides

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() == Qt.MouseButton.LeftButton:
            self._at = event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._at is None:
            return
        steps = int((event.position().x() - self._at.x()) / PIXELS_A_STEP)
        if steps:
            self._at += QPointF(steps * PIXELS_A_STEP, 0)
            self.stepped.emit(steps)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._at is not None and event.button() == Qt.MouseButton.LeftButton:
            self._at = None
            self.settled.emit()
