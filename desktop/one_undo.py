"""Undo is the lesson's, wherever the focus is: fields give up an undo of their own."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence


class OneUndo(QObject):
    """An event filter of the application. A field asks to keep Ctrl+Z to itself; the wish is not heard."""

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent):
            keys = QKeySequence.StandardKey
            if event.matches(keys.Undo) or event.matches(keys.Redo):
                event.ignore()
                return True
        return False
