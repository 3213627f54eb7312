"""Unsaved work kept in a recovery copy, two seconds behind at most. Writing happens beside the window's own thread."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.open_lesson import OpenLesson
from lessonkit.storage.recovery import RecoveryCopy
from lessonkit.storage.strict import LessonFileError

if TYPE_CHECKING:
    from concurrent.futures import Future, ThreadPoolExecutor

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
        self._is_closed = False
        self._writer: ThreadPoolExecutor | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(DELAY)
        self._timer.timeout.connect(self.keep)
        open_lesson.changed.connect(self._start)
        open_lesson.replaced.connect(self._start_over)
        open_lesson.named.connect(self._forget_if_saved)

    def keep(self) -> Future[None]:
        """Write the copy now, beside the window's thread."""
        lesson, path = self._open_lesson.lesson, self._open_lesson.path
        return self._do(lambda copy: copy.keep(lesson, path))

    def close(self) -> None:
        """The lesson is closed in good order; nothing need be recovered."""
        self._timer.stop()
        if self._copy is not None and not self._is_closed:
            self._do(lambda copy: copy.close())
        self._is_closed = True
        if self._writer is not None:
            self._writer.shutdown()

    def _start(self) -> None:
        # The timer is not started anew by each change: a copy would never come while someone types.
        if self._open_lesson.has_unsaved and not self._timer.isActive():
            self._timer.start()

    def _start_over(self) -> None:
        self._timer.stop()
        if self._copy is not None:
            self._do(lambda copy: copy.forget())
        self._start()

    def _forget_if_saved(self) -> None:
        if not self._open_lesson.has_unsaved:
            self._timer.stop()
            if self._copy is not None:
                self._do(lambda copy: copy.forget())

    def _do(self, work: Callable[[RecoveryCopy], object]) -> Future[None]:
        def run() -> None:
            try:
                if self._copy is None:
                    self._copy = RecoveryCopy(self._folder)
                work(self._copy)
                self._has_told = False
            except LessonFileError as error:
                if not self._has_told:
                    self._has_told = True
                    self.failed.emit(str(error))

        if self._writer is None:
            # Nothing is written before the first change; the window need not wait for the library.
            from concurrent.futures import ThreadPoolExecutor

            self._writer = ThreadPoolExecutor(1, "recovery copy")
        return self._writer.submit(run)
