"""Every step of the lesson since it was opened, by its label: taken back or made, and where one is."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent
from PySide6.QtWidgets import QApplication, QFrame, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.open_lesson import OpenLesson
from desktop.theme import tones_of
from desktop.words import say

_ACROSS, _DOWN = 360, 460


class StepsList(QFrame):
    """The steps from the first to the last; the pages follow as one goes through them."""

    closed = Signal()

    def __init__(self, parent: QWidget, open_lesson: OpenLesson) -> None:
        super().__init__(parent)
        self._open_lesson = open_lesson
        self._is_filling = False
        self.setObjectName("palette")
        self.list = QListWidget()
        self.list.setObjectName("goToList")
        self.list.setAccessibleName(say("Steps"))
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.list.currentRowChanged.connect(self._go)
        self.list.installEventFilter(self)
        caption = quiet_label(say("Steps"))
        caption.setObjectName("panelTitle")
        hint = quiet_label(say("Up and Down go back and on; Escape stays where you are"))
        hint.setObjectName("help")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 12, 12, 8)
        layout.setSpacing(8)
        layout.addWidget(caption)
        layout.addWidget(self.list, 1)
        layout.addWidget(hint)
        open_lesson.changed.connect(self._follow)
        open_lesson.replaced.connect(self.hide)
        self.hide()

    def open(self, place: QRect) -> None:
        """Come up at the right of a place."""
        across, down = min(_ACROSS, place.width() - 16), min(_DOWN, place.height() - 32)
        self.setGeometry(place.right() - across - 24, place.top() + 16, across, down)
        self._fill()
        self.show()
        self.raise_()
        self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def shown(self) -> tuple[str, ...]:
        """The labels of the steps."""
        return tuple(self.list.item(row).text() for row in range(self.list.count()))

    def _follow(self) -> None:
        if not self.isHidden():
            self._fill()

    def _fill(self) -> None:
        """List the steps anew; those that were taken back are quiet."""
        labels, now = (say("As it was opened"), *self._open_lesson.steps), self._open_lesson.step
        quiet = QColor(tones_of(cast(QApplication, QApplication.instance())).muted)
        self._is_filling = True
        if self.shown != labels:
            self.list.clear()
            self.list.addItems(labels)
        for row in range(self.list.count()):
            item = self.list.item(row)
            item.setData(Qt.ItemDataRole.ForegroundRole, quiet if row > now else None)
            _italic(item, row > now)
        self.list.setCurrentRow(now)
        self._is_filling = False

    def _go(self, row: int) -> None:
        if not self._is_filling and row >= 0:
            self._open_lesson.go_to_step(row)

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self.window().isActiveWindow():
            self.hide()
        is_press = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress
        if is_press and cast(QKeyEvent, event).key() in (Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.hide()
            self.closed.emit()
            return True
        return super().eventFilter(watched, event)


def _italic(item: QListWidgetItem, is_italic: bool) -> None:
    font = item.font()
    font.setItalic(is_italic)
    item.setFont(font)
