"""How far the term, its folder, one lesson or one student reaches each level, worked out beside the window's thread."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import Enum
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from desktop.aside import Aside
from desktop.plan.counting import Counting
from desktop.plan.lessons_beside import LessonsBeside, lesson_paths
from desktop.plan.open_levels import OpenLevels
from desktop.plan.students_beside import students_in
from lessonkit.curriculum.coverage import Coverage, Place, coverage_of
from lessonkit.curriculum.levels import Measure, Need, measured_all, places_of
from lessonkit.storage.kept_counts import KeptCounts, Shelf
from lessonkit.values import dataclass


class Kind(Enum):
    """What can be measured against levels."""

    TERM = "term"
    FOLDER = "folder"
    LESSON = "lesson"
    STUDENT = "student"


@dataclass(frozen=True, slots=True)
class Whom:
    """What is measured; ``name`` is the lesson's file or the student's code."""

    kind: Kind = Kind.TERM
    name: str = ""


class Measuring(QObject):
    """Keeps the measures of one thing true."""

    measured = Signal()
    """``measures`` are those of the levels as they are."""

    def __init__(
        self,
        levels: OpenLevels,
        counting: Counting,
        beside: LessonsBeside,
        aside: Aside,
        student_folders: Callable[[], Sequence[Path]],
        kept: Path,
    ) -> None:
        super().__init__()
        self._levels = levels
        self._counting = counting
        self._beside = beside
        self._aside = aside
        self._student_folders = student_folders
        self._kept = kept
        self.whom = Whom()
        self.measures: tuple[Measure, ...] = ()
        self._coverage = Coverage()
        levels.changed.connect(self.measure)
        levels.opened.connect(self.measure)
        counting.covered.connect(self.measure)

    def choose(self, whom: Whom) -> None:
        """Measure something else."""
        self.whom = whom
        self.measure()

    def places(self, need: Need) -> tuple[Place, ...]:
        """Every drill that meets a need; none for a student."""
        return places_of(need, self._coverage)

    def measure(self) -> None:
        """Measure again; of several wishes in a row the last one is heard."""
        if self._levels.is_open:
            whom, levels = self.whom, self._levels.curriculum.levels
            term, lessons = self._counting.coverage, dict(self._beside.lessons)
            folders, folder = tuple(self._student_folders()), self._beside.folder

            def work() -> tuple[Coverage, tuple[Measure, ...]]:
                if whom.kind is Kind.STUDENT:
                    from lessonkit.students.against_level import student_measured

                    [student], _ = students_in(folders, (whom.name,))
                    return Coverage(), tuple(student_measured(level, student) for level in levels)
                if whom.kind is Kind.TERM:
                    coverage = term
                elif whom.kind is Kind.FOLDER:
                    shelf = Shelf(KeptCounts(self._kept))
                    coverage = shelf.look(lesson_paths(folder)) if folder is not None else Coverage()
                    shelf.save()
                else:
                    coverage = coverage_of((name, one) for name, one in lessons.items() if name == whom.name)
                return coverage, measured_all(levels, coverage)

            self._aside.ask("measures", work, self._take)

    def _take(self, found: tuple[Coverage, tuple[Measure, ...]]) -> None:
        self._coverage, self.measures = found
        self.measured.emit()
