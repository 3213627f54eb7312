"""The past of a lesson, and what of it is saved."""

from __future__ import annotations

from typing import NamedTuple

from lessonkit.lesson.lesson import Lesson
from lessonkit.past import Past


class _Kept(NamedTuple):
    """A lesson, and what stands beside it in its file."""

    lesson: Lesson
    beside: object = None


class History:
    """Where a lesson has been and where it is, and whether that is saved.

    ``beside`` is what stands beside the lesson in its file and goes through the past with it; only who put it there
    knows what it is.
    """

    def __init__(self, lesson: Lesson, beside: object = None) -> None:
        self._past = Past(_Kept(lesson, beside))
        self._saved: _Kept | None = self._past.value

    @property
    def lesson(self) -> Lesson:
        """The lesson as it is now."""
        return self._past.value.lesson

    @property
    def beside(self) -> object:
        """What stands beside the lesson now; None where nothing does."""
        return self._past.value.beside

    @property
    def undo_label(self) -> str:
        """The label of the edit that ``undo`` takes back; empty where there is none."""
        return self._past.undo_label

    @property
    def redo_label(self) -> str:
        """The label of the edit that ``redo`` makes again; empty where there is none."""
        return self._past.redo_label

    @property
    def labels(self) -> tuple[str, ...]:
        """The labels of all edits that can be taken back, the latest last."""
        return self._past.labels

    @property
    def steps(self) -> tuple[str, ...]:
        """The labels of all edits there are, those that were taken back behind the others."""
        return self._past.steps

    @property
    def step(self) -> int:
        """After how many of the edits the lesson is now."""
        return self._past.step

    @property
    def has_unsaved(self) -> bool:
        """Whether the lesson, or what stands beside it, differs from what was saved last."""
        return self._saved is None or self._past.value != self._saved

    def edit(self, label: str, lesson: Lesson, merge_key: str = "") -> bool:
        """Record an edit; says whether it changed anything. Edits in a row with one merge key are one step."""
        return self._past.edit(label, _Kept(lesson, self.beside), merge_key)

    def edit_both(self, label: str, lesson: Lesson, beside: object) -> bool:
        """Record an edit of the lesson and of what stands beside it; says whether it changed anything."""
        return self._past.edit(label, _Kept(lesson, beside))

    def settle(self) -> None:
        """The next edit is a step of its own, whatever its merge key."""
        self._past.settle()

    def go_to(self, step: int) -> Lesson:
        """Go to where so many edits are made, as far as there are any; answers the lesson."""
        return self._past.go_to(step).lesson

    def undo(self) -> Lesson:
        """Go back one edit, if there is one; answers the lesson."""
        return self._past.undo().lesson

    def redo(self) -> Lesson:
        """Go forward one edit, if there is one; answers the lesson."""
        return self._past.redo().lesson

    def mark_saved(self) -> None:
        """The lesson as it is now has been saved."""
        self._saved = self._past.value
        self._past.settle()

    def mark_unsaved(self) -> None:
        """Nothing of this lesson is in any file: it was recovered, or made from another."""
        self._saved = None
