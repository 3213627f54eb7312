"""A make-up sheet: what the student missed in one or several lessons, cut to the minutes there are."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QListWidget, QPushButton, QSpinBox

from desktop.forms.row import quiet_label
from desktop.people.sheet_part import Sheet, SheetPart
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError
from lessonkit.students.handing_out import Around, from_adapted, lesson_title
from lessonkit.students.make_up import make_up
from lessonkit.students.student import LEAST_MINUTES, MOST_MINUTES, Student


class MakeUpPart(SheetPart):
    """The lessons that were missed, the minutes, and the sheet. It begins with the open lesson."""

    kind = english("make-up sheet")
    empty = english("Nothing to make up: the lessons named here have no drills that fit into the minutes.")

    def make_controls(self) -> None:
        """The lessons and the minutes."""
        self._lessons: dict[str, Lesson] = {}
        caption = quiet_label(say("Lessons that were missed"))
        caption.setObjectName("groupCaption")
        self.list = QListWidget()
        self.list.setObjectName("shelfList")
        self.list.setAccessibleName(say("Lessons that were missed"))
        self.list.setFixedHeight(120)
        self.add = QPushButton(say("Add …"))
        self.add.setAccessibleName(say("Add lessons that were missed"))
        self.add.clicked.connect(self._add)
        self.take_out = QPushButton(say("Take out"))
        self.take_out.setAccessibleName(say("Take the chosen lesson out"))
        self.take_out.clicked.connect(self._take_out)
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.take_out)
        buttons.addStretch(1)
        self.minutes = QSpinBox()
        self.minutes.setRange(LEAST_MINUTES, MOST_MINUTES)
        self.minutes.setSuffix(" minutes")
        self.minutes.lineEdit().setTextMargins(6, 0, 0, 0)
        self.minutes.setAccessibleName(say("Minutes at hand"))
        self.minutes.setValue(15)
        self.minutes.valueChanged.connect(self.show_student)
        self.beside.addWidget(caption)
        self.beside.addWidget(self.list)
        self.beside.addLayout(buttons)
        self.beside.addWidget(self.minutes)
        self.studio.chosen.connect(self._take_minutes)
        self._take_minutes()

    def wishes(self) -> tuple[Any, ...]:
        """The open lesson where no other is named, the named ones, and the minutes."""
        lessons = tuple(self._lessons.values()) or (self.room.open_lesson.lesson,)
        self._list_lessons(lessons)
        return (*lessons, self.minutes.value())

    def make(self, student: Student, today: date, wishes: tuple[Any, ...]) -> Sheet:
        """The sheet, and what no time was left for."""
        *lessons, minutes = wishes
        made = make_up(lessons, student, today, minutes)
        handed = from_adapted(made.adapted, student, today, Around(has_plan=False, has_review=False))
        said = say("The drills take about {minutes} of {minutes2} minutes.", minutes=made.minutes, minutes2=minutes)
        if made.left_out:
            said += say("\n\nNo time was left for:\n") + "\n".join(f"· {one}" for one in made.left_out)
        lesson = handed.lesson if handed.handout.blocks else Lesson()
        return Sheet(lesson, said, handed.handout)

    def _list_lessons(self, lessons: tuple[Lesson, ...]) -> None:
        titles = [lesson_title(lesson) for lesson in lessons]
        if [self.list.item(place).text() for place in range(self.list.count())] != titles:
            self.list.clear()
            self.list.addItems(titles)
        self.take_out.setEnabled(bool(self._lessons))

    def _take_minutes(self) -> None:
        student = self.studio.student
        if student is not None:
            self.minutes.setValue(student.minutes)

    def _add(self) -> None:
        paths = self.room.lessons_missed()
        if paths:
            self.studio.aside.ask("lessons", lambda: _read(paths), self._take)

    def _take(self, found: tuple[dict[str, Lesson], list[str]]) -> None:
        lessons, problems = found
        self._lessons.update(lessons)
        self.show_student()
        if problems:
            self.studio.told.emit(say("A lesson could not be read. {problems}", problems=problems[0]))

    def _take_out(self) -> None:
        place = max(0, self.list.currentRow())
        names = list(self._lessons)
        if place < len(names):
            del self._lessons[names[place]]
            self.show_student()


def _read(paths: list[Path]) -> tuple[dict[str, Lesson], list[str]]:
    found: dict[str, Lesson] = {}
    problems = []
    for path in paths:
        try:
            found[str(path)] = read_lesson(path)
        except LessonFileError as error:
            problems.append(str(error))
    return found, problems
