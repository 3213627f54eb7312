"""What the terms room has open: the one door through which the window changes it; each change is saved at once."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, Signal

from desktop.plan.file_saving import FileSaving
from lessonkit.past import Past
from lessonkit.storage.strict import LessonFileError


class OpenFile(QObject):
    """A value with its file and its past. Undo is a list of old values; the file always holds the present one.

    ``refusal`` is the sentence for a file that cannot be read, such as ``The term was not opened.``
    """

    changed = Signal()
    """An edit, an undo or a redo."""

    opened = Signal()
    """Another one is open."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(self, saving: FileSaving, empty: Any, refusal: str) -> None:
        super().__init__()
        self.saving = saving
        self.path: Path | None = None
        self._refusal = refusal
        self._past = Past(empty)
        saving.failed.connect(self.told)

    @property
    def value(self) -> Any:
        """What is open, as it is now."""
        return self._past.value

    @property
    def is_open(self) -> bool:
        """Whether one is open."""
        return self.path is not None

    @property
    def folder(self) -> Path | None:
        """The folder of its file."""
        return None if self.path is None else self.path.parent

    @property
    def undo_label(self) -> str:
        """What Undo would take back; empty where there is nothing."""
        return self._past.undo_label

    @property
    def redo_label(self) -> str:
        """What Redo would bring back; empty where there is nothing."""
        return self._past.redo_label

    def edit(self, label: str, value: Any, merge_key: str = "") -> None:
        """Change it; edits in a row with one merge key are one step of undo until ``settle``."""
        if self.path is not None and self._past.edit(label, value, merge_key):
            self._tell()

    def settle(self) -> None:
        """The next edit is a step of its own."""
        self._past.settle()

    def undo(self) -> None:
        """Take the last change back."""
        if self.undo_label:
            self._past.undo()
            self._tell()

    def redo(self) -> None:
        """Make the change again that was taken back."""
        if self.redo_label:
            self._past.redo()
            self._tell()

    def open(self, path: Path) -> bool:
        """Open a file; says whether it could be read. Otherwise the one that is open stays."""
        self.saving.finish()
        return self.take(path, self.read(path))

    def read(self, path: Path) -> Any | LessonFileError:
        """What is in a file, or why it cannot be read; may be called beside the window's thread."""
        try:
            return self.saving.read(path)
        except LessonFileError as error:
            return error

    def take(self, path: Path, found: Any | LessonFileError) -> bool:
        """Open what was read."""
        if isinstance(found, LessonFileError):
            self.told.emit(f"{self._refusal} {found}")
            return False
        self._begin(found, path)
        return True

    def begin(self, value: Any, path: Path) -> None:
        """Begin with a new one in a file of its own; a file that stands there is laid aside first."""
        self._begin(value, path)
        self.saving.keep(path, value)

    def save_in(self, path: Path) -> None:
        """Go on in another file; the old one stays as it is."""
        self.path = path
        self._tell()

    @property
    def is_written(self) -> bool:
        """Whether the file holds the present value; waits for what is being written, and tries once more."""
        self.saving.finish()
        if self.path is not None and self.saving.has_failed:
            self.saving.keep(self.path, self.value)
            self.saving.finish()
        return self.path is None or not self.saving.has_failed

    def _begin(self, value: Any, path: Path) -> None:
        self._past = Past(value)
        self.path = path
        self.opened.emit()

    def _tell(self) -> None:
        assert self.path is not None
        self.saving.keep(self.path, self.value)
        self.changed.emit()
