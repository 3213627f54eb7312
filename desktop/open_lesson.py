"""The lesson that is open. This is the one door through which the window changes a lesson; it tells what changed."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from lessonkit.lesson.change import Change, change_between
from lessonkit.lesson.history import History
from lessonkit.lesson.lesson import Lesson


class OpenLesson(QObject):
    """The open lesson with its file and its past. Views show ``lesson`` and hand edits to ``edit``."""

    changed = Signal(Change)
    """An edit, an undo or a redo: what differs now."""

    replaced = Signal()
    """Another lesson is open."""

    beside_changed = Signal()
    """What stands beside the lesson in its file is another, by an edit, an undo or a redo."""

    named = Signal()
    """The file's name is another, or unsaved changes came or went."""

    def __init__(self, lesson: Lesson, path: Path | None = None) -> None:
        super().__init__()
        self._history = History(lesson)
        self._path = path
        self._had_unsaved = False

    @property
    def lesson(self) -> Lesson:
        """The lesson as it is now."""
        return self._history.lesson

    @property
    def beside(self) -> object:
        """What stands beside the lesson in its file: where a student's lesson came from. None for any other lesson."""
        return self._history.beside

    @property
    def path(self) -> Path | None:
        """The lesson's file; None while it has never been saved."""
        return self._path

    @property
    def has_unsaved(self) -> bool:
        """Whether something would be lost without saving."""
        return self._history.has_unsaved

    @property
    def undo_label(self) -> str:
        """What Undo would take back; empty where there is nothing."""
        return self._history.undo_label

    @property
    def redo_label(self) -> str:
        """What Redo would bring back; empty where there is nothing."""
        return self._history.redo_label

    @property
    def steps(self) -> tuple[str, ...]:
        """The labels of all edits since the lesson was opened, those that were taken back too."""
        return self._history.steps

    @property
    def step(self) -> int:
        """After how many of these edits the lesson is now."""
        return self._history.step

    def go_to_step(self, step: int) -> None:
        """Take back or make again as many edits as lead there."""
        before = self.lesson, self.beside
        self._history.go_to(step)
        self._tell(*before)

    def edit(self, label: str, lesson: Lesson, merge_key: str = "") -> None:
        """Make an edit; edits in a row with one merge key are one step of undo until ``settle``."""
        before = self.lesson, self.beside
        if self._history.edit(label, lesson, merge_key):
            self._tell(*before)

    def edit_both(self, label: str, lesson: Lesson, beside: object) -> None:
        """Make an edit of the lesson and of what stands beside it, one step of undo."""
        before = self.lesson, self.beside
        if self._history.edit_both(label, lesson, beside):
            self._tell(*before)

    def settle(self) -> None:
        """The next edit is a step of its own."""
        self._history.settle()

    def undo(self) -> None:
        """Take the last edit back."""
        before = self.lesson, self.beside
        self._history.undo()
        self._tell(*before)

    def redo(self) -> None:
        """Make the edit again that was taken back."""
        before = self.lesson, self.beside
        self._history.redo()
        self._tell(*before)

    def open(
        self, lesson: Lesson, path: Path | None, is_unsaved: bool = False, beside: object = None
    ) -> None:  # fmt: skip
        """Open another lesson in the place of this one; ``is_unsaved`` for one that no file holds yet."""
        self._history = History(lesson, beside)
        if is_unsaved:
            self._history.mark_unsaved()
        self._path = path
        self._had_unsaved = self.has_unsaved
        self.replaced.emit()
        self.named.emit()

    def mark_saved(self, path: Path) -> None:
        """The lesson as it is now stands in this file."""
        self._path = path
        self._history.mark_saved()
        self._had_unsaved = False
        self.named.emit()

    def _tell(self, before: Lesson, beside: object) -> None:
        change = change_between(before, self.lesson)
        if change:
            self.changed.emit(change)
        if self.beside is not beside:
            self.beside_changed.emit()
        if self.has_unsaved != self._had_unsaved:
            self._had_unsaved = self.has_unsaved
            self.named.emit()
