"""A student's lesson that is open as a lesson of its own: its changes, the original it came from, what comes over.

Its pages are edited as those of any lesson; the original is another file and stays as it is.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QWidget

from desktop.files import NOT_IN_NAMES, Asked, LessonFiles, Tell
from desktop.lesson_documents import STUDENT_SUFFIX, save_document
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.people.people import People
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import LessonFileError, read_lesson

if TYPE_CHECKING:
    from desktop.people.carry_over import CarryOver
    from lessonkit.students.adapted import Adapted
    from lessonkit.students.carrying_over import CarriedOver
    from lessonkit.students.student import Student

_NO_SIGN = re.compile(r"[^\w-]+")

NO_ORIGINAL = english(
    "Where the original of this lesson stands is not known, or it is gone. Choose it to carry it over."
)


def in_names(code: str) -> str:
    """A student's code as it stands in the names of files."""
    return _NO_SIGN.sub("_", code).strip("_") or "student"


class OwnLesson(QObject):
    """What can be done with a student's own lesson; nothing where another kind of lesson is open."""

    shown = Signal()
    """Another lesson is open, or the changes of this one are others."""

    pointed = Signal(str)
    """A point that may come over is about this block."""

    def __init__(
        self, people: People, open_lesson: OpenLesson, files: LessonFiles, memory: Memory, asked: Asked, tell: Tell,
        window: QWidget,
    ) -> None:  # fmt: skip
        super().__init__(window)
        self._people = people
        self._open_lesson = open_lesson
        self._files = files
        self._memory = memory
        self._asked = asked
        self._tell = tell
        self._window = window
        self._then: Callable[[Path, Student], None] | None = None
        self.has_around = self.has_name = True
        self.carrying: CarryOver | None = None
        """The points that may come over, while they are looked at."""
        open_lesson.replaced.connect(self._begin)
        open_lesson.beside_changed.connect(self.shown)

    @property
    def adapted(self) -> Adapted | None:
        """The student's lesson as it is now; None where the open lesson is nobody's own."""
        beside = self._open_lesson.beside
        return None if beside is None else replace(cast("Adapted", beside), lesson=self._open_lesson.lesson)

    @property
    def original_name(self) -> str:
        """What the file of the original is called; empty where that is not known."""
        adapted = self.adapted
        return adapted.from_file.stem if adapted is not None and adapted.from_file is not None else ""

    def keep(self, adapted: Adapted) -> None:
        """Save a student's lesson as a file of its own and open it; the original is closed as it is."""
        if not self._files.may_leave():
            return
        original = self._open_lesson.path
        title = "".join(sign for sign in adapted.original.title if sign not in NOT_IN_NAMES).strip(" .") or say(
            "Lesson"
        )
        stem = original.stem if original is not None else title
        folder = original.parent if original is not None else self._memory.folder
        path = self._asked.where_to_save(
            folder / (say("{stem} for {code}", stem=stem, code=in_names(adapted.code)) + STUDENT_SUFFIX)
        )
        if path is None:
            return
        kept = replace(adapted, from_file=original.absolute() if original is not None else None)
        try:
            save_document(kept.lesson, kept, path)
        except LessonFileError as error:
            self._tell(f"{error}.")
            return
        self._files.open_path(path)

    def set_choice(self, key: str, is_wanted: bool) -> None:
        """Take a change back, make it after all, or answer a question; Undo takes that back."""
        self.with_student(lambda path, student: self._choose(student, key, is_wanted))

    def set_around(self, is_wanted: bool) -> None:
        """Print the day's plan, the review and the strip around the lesson, or leave them out."""
        self.has_around = is_wanted

    def set_name(self, is_wanted: bool) -> None:
        """Let the handout say for whom it is, or leave that out."""
        self.has_name = is_wanted

    def open_original(self) -> None:
        """Open the lesson that this one was made from."""
        adapted = self.adapted
        if adapted is None:
            return
        if adapted.from_file is None or not adapted.from_file.exists():
            self._tell(say("The original is not where it was when this lesson was made. Open it from its new place."))
        else:
            self._files.open_recent(adapted.from_file)

    def carry_over(self) -> None:
        """Show what the improved original would bring, point by point."""
        adapted = self.adapted
        if adapted is None:
            return
        path = adapted.from_file
        if path is None or not path.exists():
            self._tell(NO_ORIGINAL)
            path = self._asked.lesson_to_open(self._memory.folder)
            if path is None:
                return
        try:
            improved = read_lesson(path)
        except LessonFileError as error:
            self._tell(say("The original was not read. {error}", error=error))
            return
        self.with_student(lambda _, student: self._compare(student, improved, path))

    def with_student(self, then: Callable[[Path, Student], None]) -> None:
        """Do something with the student whose lesson this is, once the students are read."""
        self._then = then
        if self._people.is_open and self._people.studio.is_read:
            self._go_on()
        else:
            self._people.opened.connect(self._wait, Qt.ConnectionType.SingleShotConnection)
            self._people.open()

    def _wait(self) -> None:
        studio = self._people.studio
        if studio.is_read:
            self._go_on()
        else:
            studio.changed.connect(self._go_on, Qt.ConnectionType.SingleShotConnection)

    def _go_on(self) -> None:
        then, self._then, adapted = self._then, None, self.adapted
        if then is None or adapted is None:
            return
        for path, student in self._people.studio.students.items():
            if student.code == adapted.code:
                then(path, student)
                return
        self._tell(
            say(
                "No student called {code} is in {folder}. Open the folder of your students in the students room.",
                code=adapted.code,
                folder=self._people.studio.folder,
            )
        )

    def _begin(self) -> None:
        self.has_around = self.has_name = True
        self.shown.emit()
        if self.adapted is not None:
            QTimer.singleShot(0, self, self._look_at_original)

    def _look_at_original(self) -> None:
        """Say it where the original was improved since."""
        adapted = self.adapted
        if adapted is None or adapted.from_file is None or not adapted.from_file.exists():
            return
        try:
            is_other = read_lesson(adapted.from_file) != adapted.original
        except LessonFileError:
            return
        if is_other:
            self._tell(
                say(
                    "“{original_name}” was changed since this lesson was made for {code}.",
                    original_name=self.original_name,
                    code=adapted.code,
                ),
                (say("See what may come over …"), self.carry_over),
            )

    def _choose(self, student: Student, key: str, is_wanted: bool) -> None:
        adapted = self.adapted
        if adapted is None:
            return

        def work() -> Adapted:
            from lessonkit.students.adapt import with_choice

            return with_choice(adapted, student, key, is_wanted)

        def take(found: Adapted) -> None:
            if self._open_lesson.lesson is not adapted.lesson:
                # Something was edited meanwhile; the choice is made for what there is now.
                self._choose(student, key, is_wanted)
                return
            change = next((one for one in found.changes if one.key == key), None)
            what = say(change.what) if change is not None else say("a change")
            label = say("Do: {what}", what=what) if is_wanted else say("Take back: {what}", what=what)
            self._open_lesson.edit_both(label, found.lesson, found)

        self._people.studio.aside.ask("own lesson", work, take)

    def _compare(self, student: Student, improved: Lesson, path: Path) -> None:
        adapted = self.adapted
        if adapted is None:
            return
        today = date.today()

        def work() -> CarriedOver:
            from lessonkit.students.carrying_over import carried_over

            return carried_over(adapted, improved, student, today)

        def show(found: CarriedOver) -> None:
            from desktop.people.carry_over import CarryOver

            if not found.points:
                self._tell(say("“{stem}” holds nothing that this lesson does not have already.", stem=path.stem))
                return
            self.carrying = CarryOver(self._window, path.stem, adapted.code, found)
            self.carrying.pointed.connect(self.pointed)
            self.carrying.accepted.connect(lambda: self._carry(adapted, student, improved, path, today))
            self.carrying.open()

        self._people.studio.aside.ask(say("carry over"), work, show)

    def _carry(self, adapted: Adapted, student: Student, improved: Lesson, path: Path, today: date) -> None:
        """Bring over what was accepted, in one step of undo."""
        from lessonkit.students.carrying_over import carried_over

        assert self.carrying is not None
        found = carried_over(adapted, improved, student, today, self.carrying.decisions)
        self.carrying = None
        label = say("Carry “{stem}” over", stem=path.stem)
        self._open_lesson.edit_both(label, found.adapted.lesson, replace(found.adapted, from_file=path))
        self._tell(say("What was accepted has come over. Undo takes all of it back."))
