"""The student's lesson in the place of the pages, and its changes in the place of the settings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

from desktop.people.for_student import ForStudent

if TYPE_CHECKING:
    from desktop.desk import Desk
    from desktop.people.changes_panel import ChangesPanel
    from desktop.people.student_pages import StudentPages


class StudentView(QObject):
    """Puts the student's pages and changes before the lesson's own while a student is chosen.

    They are made when the first student is chosen. A block that is selected in one is selected in the other.
    """

    print_asked = Signal()
    """The lesson is to be printed for the student."""

    keep_asked = Signal()
    """The student's lesson is to be kept as a lesson of its own."""

    def __init__(self, for_student: ForStudent, desk: Desk, pages: QWidget, panel: QWidget) -> None:
        super().__init__(desk)
        self._for_student = for_student
        self._desk = desk
        self.pages, self.panels = _Stack(pages), _Stack(panel)
        desk.panels = self.panels
        self.student_pages: StudentPages | None = None
        self.changes: ChangesPanel | None = None
        for_student.chosen.connect(self._choose)
        for_student.adapted_anew.connect(self._show)
        desk.selection.changed.connect(self._select_theirs)

    def _choose(self) -> None:
        """Nobody is shown at once; a student's lesson as soon as it is there."""
        if self._for_student.student is None:
            self._desk.view_in_sight = self._desk.view
            self.pages.setCurrentIndex(0)
            self.panels.setCurrentIndex(0)
            self._desk.files.prints_instead = None
            self._desk.view.setFocus()

    def _show(self) -> None:
        adapted, lesson = self._for_student.adapted, self._for_student.lesson
        student = self._for_student.student
        if adapted is None or lesson is None or student is None:
            return
        if self.student_pages is None or self.changes is None:
            # Each part is made in a step of its own, so that the window answers in between.
            self._make()
            QTimer.singleShot(0, self, self._show)
            return
        self.student_pages.show_lesson(lesson, student.code)
        self.changes.show_changes(adapted, student.code)
        if self._desk.view_in_sight is not self.student_pages.view:
            self._desk.writing.end()
            self._desk.view_in_sight = self.student_pages.view
            self._desk.files.prints_instead = self.print_asked.emit
            self.pages.setCurrentWidget(self.student_pages)
            self.panels.setCurrentWidget(self.changes)
            self._select_theirs()

    def _make(self) -> None:
        """Make the pages, or the changes where the pages are there."""
        if self.student_pages is None:
            from desktop.people.student_pages import StudentPages

            self.student_pages = StudentPages()
            self.student_pages.selection.changed.connect(self._select_own)
            self.pages.addWidget(self.student_pages)
            return
        from desktop.people.changes_panel import ChangesPanel

        self.changes = ChangesPanel(self._for_student, can_keep=True)
        self.changes.print_asked.connect(self.print_asked)
        self.changes.keep_asked.connect(self.keep_asked)
        self.changes.pointed.connect(self.student_pages.selection.select)
        self.panels.addWidget(self.changes)

    def _select_theirs(self) -> None:
        if self.student_pages is not None and self.changes is not None and self._for_student.adapted is not None:
            self.student_pages.selection.select(*self._desk.selection.ids)
            self.changes.mark(self._desk.selection.ids)

    def _select_own(self) -> None:
        assert self.student_pages is not None
        ids = self.student_pages.selection.ids
        own = {block.id for block in self._desk.open_lesson.lesson.blocks}
        if not set(ids) <= own:
            # What was put in for the student has no counterpart; what was selected in the lesson stays so.
            if self.changes is not None:
                self.changes.mark(ids)
        elif ids != self._desk.selection.ids and self._desk.view_in_sight is not self._desk.view:
            self._desk.selection.select(*ids)


class _Stack(QStackedWidget):
    """Widgets one above the other, the first seen."""

    def __init__(self, first: QWidget) -> None:
        super().__init__()
        self.addWidget(first)
