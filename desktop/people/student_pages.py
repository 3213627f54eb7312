"""The pages of a student's lesson, to look and point at; what is written is written in the lesson itself."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.status_line import StatusLine
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson

WRITING = english("To write here, keep it as a lesson of its own; or go back to nobody and write in the lesson itself.")


class StudentPages(QWidget):
    """Pages that say for whom they are."""

    def __init__(self) -> None:
        super().__init__()
        self._shown = OpenLesson(Lesson())
        self._is_empty = True
        self.selection = Selection(self._shown)
        self.drawn = DrawnPages(self._shown)
        self.view = PagesView(self._shown, self.selection, self.drawn)
        self.view.writing_asked.connect(self._refuse_writing)
        self._whose = quiet_label("")
        self._whose.setObjectName("whose")
        self._said = quiet_label("")
        self._said.setObjectName("quiet")
        banner = QFrame()
        banner.setObjectName("studentBanner")
        row = QHBoxLayout(banner)
        row.setContentsMargins(16, 4, 16, 4)
        row.setSpacing(12)
        row.addWidget(self._whose)
        row.addWidget(self._said, 1)
        status = StatusLine(self.view, self.drawn)
        status.set_actions(self.view.zoom_actions())
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(banner)
        layout.addWidget(self.view, 1)
        layout.addWidget(status)

    @property
    def lesson(self) -> Lesson:
        """The lesson that is shown."""
        return self._shown.lesson

    def show_lesson(self, lesson: Lesson, code: str) -> None:
        """Show the student's lesson; only what differs is drawn anew."""
        self._whose.setText(say("for {code}", code=code))
        self._said.setText(say("The lesson itself stays as it is."))
        self.view.setAccessibleName(say("Pages for {code}", code=code))
        if self._is_empty:
            self._is_empty = False
            self._shown.open(lesson, None)
        else:
            self._shown.edit(say("Adapted"), lesson, "adapted")

    def _refuse_writing(self) -> None:
        self._said.setText(WRITING)
