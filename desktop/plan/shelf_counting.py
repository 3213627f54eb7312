"""All lessons of the folder, those that the term does not place too, counted beside the window's thread and kept."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.aside import Aside
from desktop.plan.counting import Counting
from desktop.plan.lessons_beside import LessonsBeside, lesson_paths
from lessonkit.curriculum.coverage import Coverage, renewed
from lessonkit.curriculum.seen import Axis
from lessonkit.storage.kept_counts import KeptCounts, Shelf


class ShelfCounting(QObject):
    """``coverage`` is that of the term, followed by that of the other lessons; it is kept true while it is wanted.

    It has a thread of its own, since its counts are there long before all lessons are read.
    """

    counted = Signal()
    """``coverage`` is of the term and the folder as they are."""

    def __init__(self, counting: Counting, beside: LessonsBeside, kept: Path) -> None:
        super().__init__()
        self._counting = counting
        self._beside = beside
        self._kept = kept
        self._aside: Aside | None = None
        self._shelf: Shelf | None = None
        self._is_wanted = self._is_closed = False
        self.coverage = Coverage()
        counting.covered.connect(self._count)
        beside.changed.connect(self._count)

    def want(self, is_wanted: bool, axes: tuple[Axis, Axis]) -> None:
        """Count the folder from now on, or no longer; ``axes`` are looked at first."""
        self._axes = axes
        self._is_wanted = is_wanted
        self._count()

    def close(self) -> None:
        """Nothing more is counted."""
        self._is_closed = True
        if self._aside is not None:
            self._aside.close()

    def _count(self) -> None:
        folder = self._beside.folder
        if not self._is_wanted or folder is None or self._is_closed:
            return
        if self._aside is None:
            self._aside, self._shelf = Aside(), Shelf(KeptCounts(self._kept))
        shelf, term, before, axes = self._shelf, self._counting.coverage, self.coverage, self._axes
        assert shelf is not None

        def work() -> Coverage:
            own = {one.name for one in term.lessons}
            found = shelf.look(lesson_paths(folder), lambda: not self._is_closed)
            others = (one for one in found.lessons if one.name not in own)
            coverage = renewed(before, (*term.lessons, *others))
            coverage.counts(*axes)
            return coverage

        self._aside.ask("shelf", work, self._take)
        self._aside.ask("keep", shelf.save, lambda done: None)

    def _take(self, coverage: Coverage) -> None:
        self.coverage = coverage
        self.counted.emit()
