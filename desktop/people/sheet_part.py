"""A sheet for the chosen student as pages, made beside the window's thread; it is printed just as it is seen."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any, Protocol

from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.open_lesson import OpenLesson
from desktop.people.own_lesson import in_names
from desktop.people.print_run import PrintRun, Wanted
from desktop.people.studio import Studio
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from desktop.words import say
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.student import Handout, Student, with_handout
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class Sheet:
    """What is shown and printed, what is said beside it, and what is written down once it is printed."""

    lesson: Lesson
    beside: str
    handout: Handout | None = None


class Surroundings(Protocol):
    """What a sheet needs of the room around it."""

    @property
    def open_lesson(self) -> OpenLesson: ...
    def page_to_print(self, suggested: str) -> Path | None: ...
    def lessons_missed(self) -> list[Path]: ...


class SheetPart(QWidget):
    """Pages, words beside them, and a button that prints them. Each kind of sheet says how it is made."""

    kind = ""
    """What it is called in names of files and requests."""

    empty = ""
    """What is said where there is nothing to show."""

    def __init__(self, studio: Studio, room: Surroundings) -> None:
        super().__init__()
        self.studio = studio
        self.room = room
        self.sheet: Sheet | None = None
        self._run: PrintRun | None = None
        self._asked: tuple[Any, ...] = ()
        self._handout: Handout | None = None
        self._shown = OpenLesson(Lesson())
        self.drawn = DrawnPages(self._shown)
        self.view = PagesView(self._shown, Selection(self._shown), self.drawn)
        self.view.setAccessibleName(say("Pages of the {kind}", kind=say(self.kind)))
        self.print = QPushButton(say("Print the {kind} …", kind=say(self.kind)))
        self.print.clicked.connect(self._print)
        self.said = quiet_label("")
        self.said.setWordWrap(True)
        self.beside = QVBoxLayout()
        self.beside.setContentsMargins(24, 8, 24, 16)
        self.beside.setSpacing(8)
        column = QFrame()
        column.setLayout(self.beside)
        column.setFixedWidth(320)
        self.make_controls()
        self.beside.addWidget(self.said)
        self.beside.addStretch(1)
        self.beside.addWidget(self.print)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(self.view, 1)
        across.addWidget(column)
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)
        room.open_lesson.changed.connect(self.show_student)
        room.open_lesson.replaced.connect(self.show_student)

    def make_controls(self) -> None:
        """Put what can be set above the words beside the pages."""

    def wishes(self) -> tuple[Any, ...]:
        """What the sheet depends on besides the student."""
        raise TypeError(f"{type(self).__name__} does not say what it depends on")

    def make(self, student: Student, today: date, wishes: tuple[Any, ...]) -> Sheet:
        """The sheet; called beside the window's thread."""
        raise TypeError(f"{type(self).__name__} does not say how it is made")

    def show_student(self) -> None:
        """Make the sheet, if it can be seen and may be another."""
        student = self.studio.student
        if student is None or not self.isVisible():
            return
        today, wishes = date.today(), self.wishes()
        asked = (student, today, *wishes)
        # Values that are the same objects need no comparing; minutes are equal where they are.
        if len(asked) == len(self._asked) and all(map(_is_same, asked, self._asked)):
            return
        self._asked = asked
        self.studio.aside.ask(self.kind, lambda: self.make(student, today, wishes), self._show)

    def _show(self, sheet: Sheet) -> None:
        self.sheet = sheet
        is_there = bool(sheet.lesson.blocks)
        self.said.setText(sheet.beside if is_there else say(self.empty))
        self.print.setEnabled(is_there)
        if self._shown.lesson.blocks:
            self._shown.edit(say("Sheet"), sheet.lesson, "sheet")
        else:
            self._shown.open(sheet.lesson, None)

    def _print(self) -> None:
        student, path, sheet = self.studio.student, self.studio.current, self.sheet
        if student is None or path is None or sheet is None or self._run is not None:
            return
        out = self.room.page_to_print(
            say(
                "{kind} for {code}.pdf",
                kind=capital(say(self.kind)),
                code=in_names(student.code),
            )
        )
        if out is None:
            return
        title = say("{title} for {code}", title=sheet.lesson.title or capital(say(self.kind)), code=student.code)
        self._run = SheetRun(sheet.lesson, Wanted(path, student, out), title)
        self._run.printed.connect(self._note)
        self._run.failed.connect(self._tell_failure)
        self._run.finished.connect(self._end)
        self.print.setEnabled(False)
        self._handout = sheet.handout
        self._run.begin()

    def _note(self, wanted: Wanted, out: Path) -> None:
        student = self.studio.students.get(wanted.student_path)
        if self._handout is not None and student is not None:
            label = say("Hand out “{title}”", title=self._handout.title)
            self.studio.edit_one(wanted.student_path, label, with_handout(student, self._handout))
        self.studio.told.emit(say("Printed to {out}.", out=out))

    def _tell_failure(self, wanted: Wanted, problem: str) -> None:
        self.studio.told.emit(say("{name} was not printed: {problem}.", name=wanted.out.name, problem=problem))

    def _end(self) -> None:
        self._run = None
        self.print.setEnabled(True)

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.show_student()


def _is_same(one: object, other: object) -> bool:
    return one is other or (isinstance(one, int | date) and one == other)


class SheetRun(PrintRun):
    """Prints one sheet as it is."""

    def __init__(self, lesson: Lesson, wanted: Wanted, title: str) -> None:
        super().__init__(lesson, (wanted,), date.today())
        self._title = title

    def _print(self) -> None:
        from lessonkit.handout.batch import done_one_by_one
        from lessonkit.print_for import SheetJob, print_sheet

        (wanted,) = self._wanted
        job = SheetJob(self._lesson, wanted.out, self._title)
        # More than one process keeps the work out of this one.
        for outcome in done_one_by_one((job,), print_sheet, 2):
            if outcome.made is None:
                self.failed.emit(wanted, outcome.problem)
            else:
                self.printed.emit(wanted, outcome.made)
