"""A label that gives way: where there is too little room its words end in dots, and the tool tip has them whole."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel

LEAST = 64
"""It never becomes narrower, in pixels."""


class ShortLabel(QLabel):
    """Shows text as it is, never as markup."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self.setObjectName(name)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self._words = ""

    @property
    def words(self) -> str:
        """The whole text."""
        return self._words

    def show_words(self, words: str) -> None:
        """Show another text."""
        self._words = words
        self.setAccessibleName(words)
        self._fit()
        self.updateGeometry()

    def _fit(self) -> None:
        self.setText(self.fontMetrics().elidedText(self._words, Qt.TextElideMode.ElideRight, self.width()))
        self.setToolTip(self._words if self.text() != self._words else "")

    # Qt overrides

    def sizeHint(self) -> QSize:
        # One more, since the advance of letters is rounded.
        return QSize(self.fontMetrics().horizontalAdvance(self._words) + 1, super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(min(LEAST, self.sizeHint().width()), super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
