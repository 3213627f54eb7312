"""A label that cuts its words short where they do not fit; resting on it shows them whole."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QStyle

LEAST = 24
"""It never becomes narrower, in pixels."""


class ElidedLabel(QLabel):
    """Plain words on one line, as many of them as there is room for."""

    def __init__(self, name: str = "") -> None:
        super().__init__()
        self.setObjectName(name)
        self.setTextFormat(Qt.TextFormat.PlainText)

    @property
    def is_cut(self) -> bool:
        """Whether the words are longer than the room."""
        return self.fontMetrics().horizontalAdvance(self.text()) > self.contentsRect().width()

    # Qt overrides

    def minimumSizeHint(self) -> QSize:
        return QSize(LEAST, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self.setToolTip(self.text() if self.is_cut else "")

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setAccessibleName(text)
        self.setToolTip(text if self.is_cut else "")

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        area = self.contentsRect()
        words = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, area.width())
        alignment = int(QStyle.visualAlignment(self.layoutDirection(), self.alignment()))
        self.style().drawItemText(
            painter, area, alignment, self.palette(), self.isEnabled(), words, self.foregroundRole()
        )
        painter.end()
