"""Term files written beside the window's thread, the newest state only; nothing of another program is lost.

A file that another program wrote over meanwhile, or that a new term takes the place of, is first laid aside.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Lock

from PySide6.QtCore import QObject, Signal

from desktop.laid_aside import Stamp, lay_aside, stamp_of
from lessonkit.curriculum.term import Term
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.term_file import read_term, save_term


class TermSaving(QObject):
    """Takes the open term to its file as soon as it has changed."""

    failed = Signal(str)
    """The file could not be written, or what stood in it was laid aside; the sentence says why."""

    def __init__(self, aside_folder: Path) -> None:
        super().__init__()
        self._aside_folder = aside_folder
        self._worker: ThreadPoolExecutor | None = None
        self._lock = Lock()
        self._waiting: tuple[Path, Term] | None = None
        self._known: dict[Path, Stamp | None] = {}
        self.has_failed = False
        """Whether the last try to write went wrong."""

    def read(self, path: Path) -> Term:
        """The term in a file, remembered as read; raises LessonFileError with one sentence."""
        before = stamp_of(path)
        term = read_term(path)
        self._known[path] = before
        self.has_failed = False
        return term

    def keep(self, path: Path, term: Term) -> None:
        """Write a term to its file."""
        with self._lock:
            self._waiting = (path, term)
        if self._worker is None:
            self._worker = ThreadPoolExecutor(1, "term files")
        self._worker.submit(self._write)

    def finish(self) -> None:
        """Wait until everything is written."""
        if self._worker is not None:
            self._worker.submit(lambda: None).result()

    def close(self) -> None:
        """Everything is written before the window goes."""
        if self._worker is not None:
            self._worker.shutdown(wait=True)
            self._worker = None

    # In the writer's thread

    def _write(self) -> None:
        with self._lock:
            waiting, self._waiting = self._waiting, None
        if waiting is None:
            return
        path, term = waiting
        try:
            if stamp_of(path) not in (None, self._known.get(path)):
                kept = lay_aside(path, self._aside_folder)
                self.failed.emit(f"{path.name} held something else; that file is kept as {kept}")
            save_term(term, path)
            self.has_failed = False
        except LessonFileError as error:
            self.has_failed = True
            self.failed.emit(f"{error}. Your changes are still here")
        except OSError as error:
            self.has_failed = True
            self.failed.emit(f"{path.name} could not be laid aside: {error.strerror}. Your changes are still here")
        else:
            self._known[path] = stamp_of(path)
