"""Student files written beside the window's thread, the newest state of each; nothing of another program is lost.

A file that is removed, or that another program wrote over meanwhile, is first laid into a folder of its own.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock

from PySide6.QtCore import QObject, Signal

from desktop.laid_aside import Stamp, lay_aside, stamp_of
from desktop.words import say
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.student_file import read_student, save_student
from lessonkit.students.student import Student


class Saving(QObject):
    """Takes students to their files, each as soon as it has changed."""

    failed = Signal(str)
    """A file could not be written; the sentence says why."""

    def __init__(self, aside_folder: Path) -> None:
        super().__init__()
        self._aside_folder = aside_folder
        self._worker = ThreadPoolExecutor(1, "student files")
        self._lock = Lock()
        self._waiting: dict[Path, Student | None] = {}
        self._known: dict[Path, Stamp | None] = {}
        self._problem = ""

    def read(self, path: Path) -> Student:
        """The student in a file, remembered as read; raises LessonFileError with one sentence."""
        before = stamp_of(path)
        student = read_student(path)
        with self._lock:
            self._known[path] = before
        return student

    def is_known(self, path: Path) -> bool:
        """Whether a file is as it was read or written last, or is about to be written."""
        with self._lock:
            return path in self._waiting or self._known.get(path) == stamp_of(path)

    def keep(self, path: Path, student: Student | None) -> None:
        """Write a student to a file; None takes the file away."""
        with self._lock:
            self._waiting[path] = student
        self._worker.submit(self._write_all)

    @property
    def unsaved(self) -> tuple[Path, ...]:
        """The files that could not be written yet; each is tried again with the next change."""
        with self._lock:
            return tuple(self._waiting)

    def finish(self) -> None:
        """Wait until everything is written that can be."""
        self._worker.submit(self._write_all).result()

    def close(self) -> None:
        """Everything is written before the window goes."""
        self._worker.submit(self._write_all)
        self._worker.shutdown(wait=True)

    # In the writer's thread

    def _write_all(self) -> None:
        with self._lock:
            waiting = list(self._waiting.items())
        for path, student in waiting:
            problem = self._write(path, student)
            with self._lock:
                if not problem and self._waiting.get(path) is student:
                    del self._waiting[path]
            if problem != self._problem:
                self._problem = problem
                if problem:
                    self.failed.emit(problem)

    def _write(self, path: Path, student: Student | None) -> str:
        """Write one file, or take it away; answers why that cannot be done."""
        with self._lock:
            known = self._known.get(path)
        try:
            if stamp_of(path) not in (None, known):
                kept = lay_aside(path, self._aside_folder)
                self.failed.emit(
                    say("{name} was changed by another program; that file is kept as {kept}", name=path.name, kept=kept)
                )
            if student is not None:
                path.parent.mkdir(parents=True, exist_ok=True)
                save_student(student, path)
            elif path.exists():
                lay_aside(path, self._aside_folder)
                path.unlink()
        except LessonFileError as error:
            return str(error)
        except OSError as error:
            return say(
                "{name} could not be written: {strerror}; look after the folder {parent}",
                name=path.name,
                strerror=error.strerror,
                parent=path.parent,
            )
        with self._lock:
            self._known[path] = stamp_of(path)
        return ""
