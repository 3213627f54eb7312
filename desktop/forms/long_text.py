"""An editor for text of several lines in a form."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPlainTextEdit

from desktop.forms.editor import Editor
from lessonkit.drills.setting import Setting


class LongTextEditor(Editor):
    """Text of several lines; every letter counts at once."""

    def __init__(self, lines: int = 4) -> None:
        self.box = QPlainTextEdit()
        super().__init__(self.box)
        self.is_wide = True
        self.box.setTabChangesFocus(True)
        self.box.setFixedHeight(lines * self.box.fontMetrics().lineSpacing() + 24)
        self.box.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.box.textChanged.connect(self._report)
        self._is_busy = False

    def show_value(self, value: Any, setting: Setting) -> None:
        if not self._is_busy and self.box.toPlainText() != value:
            self._is_busy = True
            self.box.setPlainText(value)
            self._is_busy = False

    def _report(self) -> None:
        if not self._is_busy:
            # What is being typed is not put in other words under the hand.
            self._is_busy = True
            try:
                self.edited.emit(self.box.toPlainText())
            finally:
                self._is_busy = False
