"""The term that is open. This is the one door through which the window changes a term; each change is saved at once."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.plan.term_saving import TermSaving
from lessonkit.curriculum.term import Term
from lessonkit.past import Past
from lessonkit.storage.strict import LessonFileError


class OpenTerm(QObject):
    """The open term with its file and its past. Undo is a list of old terms; the file always holds the present one."""

    changed = Signal()
    """An edit, an undo or a redo."""

    opened = Signal()
    """Another term is open."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(self, saving: TermSaving) -> None:
        super().__init__()
        self.saving = saving
        self.path: Path | None = None
        self._past = Past(Term())
        saving.failed.connect(self.told)

    @property
    def term(self) -> Term:
        """The term as it is now."""
        return self._past.value

    @property
    def is_open(self) -> bool:
        """Whether a term is open."""
        return self.path is not None

    @property
    def folder(self) -> Path | None:
        """The folder of the term and of its lessons."""
        return None if self.path is None else self.path.parent

    @property
    def undo_label(self) -> str:
        """What Undo would take back; empty where there is nothing."""
        return self._past.undo_label

    @property
    def redo_label(self) -> str:
        """What Redo would bring back; empty where there is nothing."""
        return self._past.redo_label

    def edit(self, label: str, term: Term, merge_key: str = "") -> None:
        """Change the term; edits in a row with one merge key are one step of undo until ``settle``."""
        if self.path is not None and self._past.edit(label, term, merge_key):
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
        """Open a term's file; says whether it could be read. Otherwise the one that is open stays."""
        self.saving.finish()
        return self.take(path, self.read(path))

    def read(self, path: Path) -> Term | LessonFileError:
        """The term in a file, or why it cannot be read; may be called beside the window's thread."""
        try:
            return self.saving.read(path)
        except LessonFileError as error:
            return error

    def take(self, path: Path, found: Term | LessonFileError) -> bool:
        """Open what was read."""
        if isinstance(found, LessonFileError):
            self.told.emit(f"The term was not opened. {found}")
            return False
        self._begin(found, path)
        return True

    def begin(self, term: Term, path: Path) -> None:
        """Begin with a new term in a file of its own; a file that stands there is laid aside first."""
        self._begin(term, path)
        self.saving.keep(path, term)

    def save_in(self, path: Path) -> None:
        """Go on in another file; the old one stays as it is."""
        self.path = path
        self._tell()

    @property
    def is_written(self) -> bool:
        """Whether the file holds the present term; waits for what is being written, and tries once more."""
        self.saving.finish()
        if self.path is not None and self.saving.has_failed:
            self.saving.keep(self.path, self.term)
            self.saving.finish()
        return self.path is None or not self.saving.has_failed

    def _begin(self, term: Term, path: Path) -> None:
        self._past = Past(term)
        self.path = path
        self.opened.emit()

    def _tell(self) -> None:
        assert self.path is not None
        self.saving.keep(self.path, self.term)
        self.changed.emit()
