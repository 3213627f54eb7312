"""The past of a lesson, and what of it is saved."""

from __future__ import annotations

from lessonkit.lesson.lesson import Lesson
from lessonkit.past import Past


class History(Past[Lesson]):
    """Where a lesson has been and where it is, and whether that is saved."""

    def __init__(self, lesson: Lesson) -> None:
        super().__init__(lesson)
        self._saved: Lesson | None = lesson

    @property
    def lesson(self) -> Lesson:
        """The lesson as it is now."""
        return self.value

    @property
    def has_unsaved(self) -> bool:
        """Whether the lesson differs from the one that was saved last."""
        return self._saved is None or (self.lesson is not self._saved and self.lesson != self._saved)

    def mark_saved(self) -> None:
        """The lesson as it is now has been saved."""
        self._saved = self.lesson
        self._is_settled = True

    def mark_unsaved(self) -> None:
        """Nothing of this lesson is in any file: it was recovered, or made from another."""
        self._saved = None
