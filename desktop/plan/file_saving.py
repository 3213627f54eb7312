"""Files of the terms room written beside the window's thread, the newest state only; nothing of others is lost.

A file that another program wrote over meanwhile, or that a new term takes the place of, is first laid aside.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from threading import Lock
from typing import Any

from PySide6.QtCore import QObject, Signal

from desktop.laid_aside import Stamp, lay_aside, stamp_of
from desktop.words import say
from desktop.writer import Writer
from lessonkit.storage.curriculum_file import read_curriculum, save_curriculum
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.term_file import read_term, save_term


class FileSaving(QObject):
    """Takes what is open to its file as soon as it has changed; ``read`` and ``write`` know the kind of file."""

    failed = Signal(str)
    """The file could not be written, or what stood in it was laid aside; the sentence says why."""

    def __init__(
        self, read: Callable[[Path], Any], write: Callable[[Any, Path], None], aside_folder: Path, name: str
    ) -> None:
        super().__init__()
        self._read = read
        self._save = write
        self._aside_folder = aside_folder
        self._writer = Writer(name)
        self._lock = Lock()
        self._waiting: tuple[Path, Any] | None = None
        self._known: dict[Path, Stamp | None] = {}
        self.has_failed = False
        """Whether the last try to write went wrong."""

    def read(self, path: Path) -> Any:
        """What a file holds, remembered as read; raises LessonFileError with one sentence."""
        before = stamp_of(path)
        found = self._read(path)
        self._known[path] = before
        self.has_failed = False
        return found

    def keep(self, path: Path, value: Any) -> None:
        """Write a value to its file."""
        with self._lock:
            self._waiting = (path, value)
        self._writer.submit(self._write)

    def finish(self) -> None:
        """Wait until everything is written."""
        self._writer.finish()

    def close(self) -> None:
        """Everything is written before the window goes."""
        self._writer.close()

    # In the writer's thread

    def _write(self) -> None:
        with self._lock:
            waiting, self._waiting = self._waiting, None
        if waiting is None:
            return
        path, value = waiting
        try:
            if stamp_of(path) not in (None, self._known.get(path)):
                kept = lay_aside(path, self._aside_folder)
                self.failed.emit(
                    say("{name} held something else; that file is kept as {kept}", name=path.name, kept=kept)
                )
            self._save(value, path)
            self.has_failed = False
        except LessonFileError as error:
            self.has_failed = True
            self.failed.emit(say("{error}. Your changes are still here", error=error))
        except OSError as error:
            self.has_failed = True
            self.failed.emit(
                say(
                    "{name} could not be laid aside: {strerror}. Your changes are still here",
                    name=path.name,
                    strerror=error.strerror,
                )
            )
        else:
            self._known[path] = stamp_of(path)


def saving_of_terms(aside_folder: Path) -> FileSaving:
    """For terms."""
    return FileSaving(read_term, save_term, aside_folder, "term files")


def saving_of_levels(aside_folder: Path) -> FileSaving:
    """For the levels of a curriculum."""
    return FileSaving(read_curriculum, save_curriculum, aside_folder, "curriculum files")
