"""The open lesson and its pages: what is seen of a notebook first, and all that is fetched before it is seen."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, QTimer

from desktop.lesson_documents import read_document
from desktop.open_lesson import OpenLesson
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.strict import LessonFileError

UNTIL_ASKED_AGAIN = 5
"""Milliseconds between two looks at whether the pages are drawn."""


class FirstPages(QObject):
    """A lesson, what of it is selected, its drawings, and the desk on which its pages lie."""

    def __init__(self, lesson: Lesson | None = None) -> None:
        super().__init__()
        self.open_lesson = OpenLesson(lesson or Lesson())
        self.selection = Selection(self.open_lesson)
        self.drawn = DrawnPages(self.open_lesson)
        self.view = PagesView(self.open_lesson, self.selection, self.drawn)

    def when_seen(self, then: Callable[[], object]) -> None:
        """Do this once the pages in sight are drawn and painted."""
        if self.view.was_painted_whole:
            then()
        else:
            QTimer.singleShot(UNTIL_ASKED_AGAIN, self, lambda: self.when_seen(then))


def lesson_of(path: Path) -> Lesson | None:
    """The lesson in a file, if it can be read; what is wrong comes again, and is said, when the notebook opens it."""
    try:
        return read_document(path)[0]
    except LessonFileError:
        return None
