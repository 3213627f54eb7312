"""The mark that playing in proposes for a first try, written into the record of the student whose lesson is open.

Nothing is written unless the teacher accepts it, with one key; the same key takes it back at once.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from desktop.files import Tell
from desktop.open_lesson import OpenLesson
from desktop.people.for_student import ForStudent
from desktop.people.own_lesson import OwnLesson
from desktop.words import say
from lessonkit.lesson.lesson import Drill, Lesson

if TYPE_CHECKING:
    from lessonkit.students.student import Student

Offer = tuple[str, Callable[[], None]]

KEY = "Ctrl+M"


class ProposedMark(QObject):
    """What was proposed last, and what became of it."""

    def __init__(self, for_student: ForStudent, own: OwnLesson, open_lesson: OpenLesson, tell: Tell) -> None:
        super().__init__(own)
        self._for_student = for_student
        self._own = own
        self._open_lesson = open_lesson
        self._tell = tell
        self._drill: Drill | None = None
        self._lesson: Lesson | None = None
        self._rating = 0
        self._label = ""
        for_student.chosen.connect(self.forget)
        open_lesson.replaced.connect(self.forget)

    @property
    def lesson(self) -> Lesson:
        """The lesson that is played: as the chosen student gets it, where one is looked at."""
        looked_at = self._for_student.adapted
        return looked_at.lesson if looked_at is not None else self._open_lesson.lesson

    @property
    def code(self) -> str:
        """Whose record it would be written into; empty where nobody is chosen."""
        own, student = self._own.adapted, self._for_student.student
        return own.code if own is not None else student.code if student is not None else ""

    @property
    def is_possible(self) -> bool:
        """Whether there is a mark to write down, or one just written to take back."""
        return bool(self.code) and self._drill is not None

    def offers(self, drill: Drill, rating: int) -> tuple[Offer, ...]:
        """What can be done about a mark that is proposed."""
        self._drill, self._lesson, self._rating, self._label = drill, self.lesson, rating, ""
        if not self.code:
            return ()
        return ((say("Write it down for {code} ({key})", code=self.code, key=KEY), self.take),)

    def take(self) -> None:
        """Write the mark down; take it back where that has just been done."""
        if not self.is_possible:
            return
        if self._label:
            self._take_back()
        elif self._own.adapted is not None:
            self._own.with_student(self._write)
        elif self._for_student.path is not None and self._for_student.student is not None:
            self._write(self._for_student.path, self._for_student.student)

    def forget(self) -> None:
        """Another lesson or another student: what was played before is not theirs."""
        self._drill, self._label = None, ""

    def _write(self, path: Path, student: Student) -> None:
        from lessonkit.students.items_played import given_blocks, items_of
        from lessonkit.students.marks import RATINGS, Mark
        from lessonkit.students.student import with_mark

        drill, lesson = self._drill, self._lesson
        if drill is None or lesson is None:
            return
        items = items_of(drill.family, lesson.setting)
        if not items:
            self._tell(say("This drill asks for its keys, so a first try of it stands for no key."))
            return
        titles = {block.block_id: block.title for block in given_blocks(lesson)}
        title = titles.get(drill.id, drill.family.title)
        self._label = say("First try of {title}", title=title)
        mark = Mark(date.today(), items, self._rating)
        self._for_student.people.studio.edit_one(path, self._label, with_mark(student, mark))
        self._tell(
            say(
                "Written down for {code}: {title}, {rating} {words}.",
                code=student.code, title=title, rating=self._rating, words=say(RATINGS[self._rating]),
            ),
            (say("Take it back ({key})", key=KEY), self.take),
        )  # fmt: skip

    def _take_back(self) -> None:
        studio = self._for_student.people.studio
        if studio.undo_label == self._label:
            studio.undo()
            self._tell(say("The mark is taken back."), (say("Write it down after all ({key})", key=KEY), self.take))
        else:
            self._tell(say("Something else was changed since; take the mark back in the students room with Undo."))
        self._label = ""
