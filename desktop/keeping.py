"""Unsaved work kept in a recovery copy, two seconds behind at most. Writing happens beside the window's own thread."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.lesson_documents import writing_beside
from desktop.open_lesson import OpenLesson
from desktop.writer import Writer
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.recovery import RecoveryCopy
from lessonkit.storage.strict import LessonFileError

if TYPE_CHECKING:
    from concurrent.futures import Future

DELAY = 1000
"""Milliseconds from a change to the writing of the copy; with the writing itself well below two seconds."""


class Keeping(QObject):
    """Keeps the open lesson's recovery copy up to date while it has unsaved changes."""

    failed = Signal(str)
    """The copy cannot be kept; the sentence says why. Told once until it works again."""

    def __init__(self, open_lesson: OpenLesson, folder: Path) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._copy: RecoveryCopy | None = None
        self._folder = folder
        self._has_told = False
        self._writer = Writer("recovery copy")
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DELAY)
        self._timer.timeout.connect(self.keep)
        open_lesson.changed.connect(self._start)
        open_lesson.beside_changed.connect(self._start)
        open_lesson.replaced.connect(self._start_over)
        open_lesson.named.connect(self._forget_if_saved)

    def keep(self) -> Future[bool]:
        """Write the copy now, beside the window's thread; the answer says whether it is kept."""
        lesson, path, beside = self._open_lesson.lesson, self._open_lesson.path, self._open_lesson.beside
        return self._writer.submit(self._write, lesson, path, beside)

    def close(self) -> None:
        """The lesson is closed in good order; nothing need be recovered."""
        self._timer.stop()
        if self._writer.is_there:
            self._writer.submit(self._close_copy)
            self._writer.close()

    def _start(self) -> None:
        # The timer is not started anew by each change: a copy would never come while someone types.
        if self._open_lesson.has_unsaved and not self._timer.isActive():
            self._timer.start()

    def _start_over(self) -> None:
        self._forget()
        self._start()

    def _forget_if_saved(self) -> None:
        if not self._open_lesson.has_unsaved:
            self._forget()

    def _forget(self) -> None:
        self._timer.stop()
        if self._writer.is_there:
            self._writer.submit(self._forget_copy)

    # In the writer's thread, one after the other

    def _write(self, lesson: Lesson, path: Path | None, beside: object) -> bool:
        try:
            if self._copy is None:
                self._copy = RecoveryCopy(self._folder)
            self._copy.keep(lesson, path, beside, writing_beside(lesson, beside))
        except LessonFileError as error:
            if not self._has_told:
                self._has_told = True
                self.failed.emit(str(error))
            return False
        self._has_told = False
        return True

    def _forget_copy(self) -> None:
        if self._copy is not None:
            self._copy.forget()

    def _close_copy(self) -> None:
        if self._copy is not None:
            self._copy.close()
            self._copy = None
