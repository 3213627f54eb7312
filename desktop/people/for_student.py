"""The open lesson as one student gets it. The lesson itself is never changed; each change of it is followed at once."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from desktop.open_lesson import OpenLesson
from desktop.people.people import People
from lessonkit.lesson.lesson import Lesson

if TYPE_CHECKING:
    from lessonkit.students.adapted import Adapted
    from lessonkit.students.student import Student


class ForStudent(QObject):
    """Which student the lesson is looked at for, and what it becomes for them."""

    chosen = Signal()
    """Another student, or nobody."""

    adapted_anew = Signal()
    """The student's lesson is another than before."""

    def __init__(self, people: People, open_lesson: OpenLesson) -> None:
        super().__init__()
        self.people = people
        self.open_lesson = open_lesson
        self.path: Path | None = None
        self.adapted: Adapted | None = None
        self.lesson: Lesson | None = None
        """What is printed for the student, with what stands around their lesson."""
        self.has_around = self.has_name = True
        self._choices: dict[str, bool] = {}
        self._followed: Student | None = None
        self._follows = False
        open_lesson.changed.connect(self._adapt)
        open_lesson.replaced.connect(self._start_over)

    @property
    def student(self) -> Student | None:
        """The student; None for nobody."""
        return None if self.path is None else self.people.studio.students.get(self.path)

    @property
    def choices(self) -> dict[str, bool]:
        """The changes that were taken back and the questions that were answered."""
        return dict(self._choices)

    def choose(self, path: Path | None) -> None:
        """Look at the lesson for this student; None for nobody."""
        if path == self.path:
            return
        self.path, self._choices = path, {}
        self.adapted = self.lesson = self._followed = None
        if path is not None and not self._follows:
            self._follows = True
            self.people.studio.changed.connect(self._follow)
        self.chosen.emit()
        self._adapt()

    def set_choice(self, key: str, is_wanted: bool) -> None:
        """Take a change back, make it after all, or answer a question."""
        self._choices[key] = is_wanted
        self._adapt()

    def set_around(self, is_wanted: bool) -> None:
        """Show and print the day's plan, the review and the strip around the lesson, or leave them out."""
        self.has_around = is_wanted
        self._adapt()

    def set_name(self, is_wanted: bool) -> None:
        """Let the handout say for whom it is, or leave that out."""
        self.has_name = is_wanted
        self._adapt()

    def _start_over(self) -> None:
        self._choices = {}
        if self.open_lesson.beside is not None:
            # A student's own lesson is not made theirs once more.
            self.choose(None)
            return
        self._adapt()

    def _follow(self) -> None:
        if self.path is None:
            return
        student = self.student
        if student is None:
            self.choose(None)
        elif student is not self._followed:
            self._adapt()

    def _adapt(self) -> None:
        student = self.student if self.path is not None else None
        if student is None:
            return
        self._followed = student
        lesson, choices, today = self.open_lesson.lesson, self.choices, date.today()
        has_around, has_name = self.has_around, self.has_name

        def work() -> tuple[Adapted, Lesson]:
            from lessonkit.students.adapt import adapt
            from lessonkit.students.handing_out import around, from_adapted

            adapted = adapt(lesson, student, today, choices)
            return adapted, from_adapted(adapted, student, today, around(has_around, has_name)).lesson

        self.people.studio.aside.ask("adapt", work, self._take)

    def _take(self, found: tuple[Adapted, Lesson]) -> None:
        student = self.student
        if student is not None and found[0].code == student.code:
            self.adapted, self.lesson = found
            self.adapted_anew.emit()
