"""What is seen of a student's own lesson around its pages: whose it is, and the way between settings and changes."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QStackedWidget, QToolButton, QWidget

from desktop.forms.row import quiet_label
from desktop.frame import panel_width
from desktop.part_row import PartRow
from desktop.people.own_lesson import OwnLesson
from desktop.selection import Selection
from desktop.words import english, say

if TYPE_CHECKING:
    from desktop.people.changes_panel import ChangesPanel

SETTINGS, CHANGES = english("Settings"), english("Changes")


class OwnLessonBanner(QFrame):
    """Above the pages: for whom the lesson is, which it was made from, and what can be done about that."""

    def __init__(self, own: OwnLesson) -> None:
        super().__init__()
        self._own = own
        self.setObjectName("studentBanner")
        self._whose, self._said = quiet_label(""), quiet_label("")
        self._whose.setObjectName("whose")
        self._said.setObjectName("quiet")
        self.original = _button(say("Open the original"), own.open_original)
        self.carry = _button(say("Carry over …"), own.carry_over)
        self.carry.setToolTip(say("See what the improved original would bring, point by point"))
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 4, 16, 4)
        row.setSpacing(12)
        row.addWidget(self._whose)
        row.addWidget(self._said, 1)
        row.addWidget(self.original)
        row.addWidget(self.carry)
        own.shown.connect(self._show)
        self.hide()

    def _show(self) -> None:
        adapted = self._own.adapted
        self.setVisible(adapted is not None)
        if adapted is not None:
            name = self._own.original_name
            self._whose.setText(say("for {code}", code=adapted.code))
            self._said.setText(say("made from “{name}”", name=name) if name else say("a lesson of its own"))
            self.original.setEnabled(bool(name))


class OwnLessonSide(QObject):
    """The row above the settings that goes to the changes and back, and the changes themselves, made when needed."""

    print_asked = Signal()
    """The lesson is to be printed for its student."""

    def __init__(self, own: OwnLesson, selection: Selection, chooser: QWidget, panels: QStackedWidget) -> None:
        super().__init__(panels)
        self._own = own
        self._selection = selection
        self._chooser = chooser
        self._panels = panels
        self.changes: ChangesPanel | None = None
        self.row = PartRow((SETTINGS, CHANGES), self.show_part)
        self.frame = QFrame()
        self.frame.setObjectName("studentChooser")
        self.frame.setFixedWidth(panel_width())
        across = QHBoxLayout(self.frame)
        across.setContentsMargins(8, 4, 8, 4)
        across.addWidget(self.row)
        across.addStretch(1)
        self.frame.hide()
        own.shown.connect(self._show)
        selection.changed.connect(self._mark)

    def show_part(self, title: str) -> None:
        """Show the settings of what is selected, or the changes."""
        self.row.mark(title)
        self._show()

    def _show(self) -> None:
        adapted = self._own.adapted
        self._chooser.setVisible(adapted is None)
        self.frame.setVisible(adapted is not None)
        if adapted is None or self.row.title == SETTINGS:
            if self.changes is not None and self._panels.currentWidget() is self.changes:
                self._panels.setCurrentIndex(0)
            return
        if self.changes is None:
            from desktop.people.changes_panel import ChangesPanel

            self.changes = ChangesPanel(self._own)
            self.changes.print_asked.connect(self.print_asked)
            self.changes.pointed.connect(self._selection.select)
            self._panels.addWidget(self.changes)
        self.changes.show_changes(adapted, adapted.code)
        self._panels.setCurrentWidget(self.changes)
        self._mark()

    def _mark(self) -> None:
        if self.changes is not None and self._panels.currentWidget() is self.changes:
            self.changes.mark(self._selection.ids)


def _button(text: str, call: Callable[[], None]) -> QToolButton:
    button = QToolButton()
    button.setText(text)
    button.setProperty("segment", True)
    button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    button.clicked.connect(call)
    return button
