"""The students room: the list at the left, and one part of the chosen student beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.memory import Memory
from desktop.open_lesson import OpenLesson
from desktop.part_row import PartRow
from desktop.people.chart_part import ChartPart
from desktop.people.due_part import DuePart
from desktop.people.handouts_part import HandoutsPart
from desktop.people.make_up_part import MakeUpPart
from desktop.people.plan_part import PlanPart
from desktop.people.profile import Profile
from desktop.people.questions import PeopleQuestions
from desktop.people.record_sheet import RecordPart
from desktop.people.review_part import ReviewPart
from desktop.people.student_list import StudentList
from desktop.people.studio import Studio
from desktop.words import english, say
from lessonkit.students.student import cleared

PARTS: tuple[tuple[str, Callable[[PeopleRoom], QWidget]], ...] = (
    (english("Profile"), lambda room: Profile(room.studio)),
    (english("Record"), lambda room: RecordPart(room.studio)),
    (english("Weak and strong"), lambda room: ChartPart(room.studio)),
    (english("Due"), lambda room: DuePart(room.studio)),
    (english("Review page"), lambda room: ReviewPart(room.studio, room)),
    (english("Plan"), lambda room: PlanPart(room.studio, room)),
    (english("Make-up sheet"), lambda room: MakeUpPart(room.studio, room)),
    (english("Handouts"), lambda room: HandoutsPart(room.studio)),
)
"""The parts of a student, each made when it is first looked at."""


class Told(Protocol):
    """Who shows a sentence at the top of the window."""

    def __call__(self, sentence: str) -> None: ...


class Window(Protocol):
    """What only the whole window knows."""

    @property
    def room(self) -> str: ...
    @property
    def open_lesson(self) -> OpenLesson: ...
    def print_for(self) -> None: ...


class PeopleRoom(QWidget):
    """The room. It knows the studio, and of the window only which room is entered."""

    def __init__(
        self, studio: Studio, memory: Memory, tell: Told, window: Window, open_folder: Callable[[], None]
    ) -> None:
        super().__init__()
        self._window = window
        self._open_folder = open_folder
        self.studio = studio
        self._memory = memory
        self._tell = tell
        self.questions = PeopleQuestions(self)
        self.parts: dict[str, QWidget] = {}
        self.list = StudentList(studio)
        self.list.told.connect(tell)
        self.list.folder_asked.connect(self.choose_folder)
        self.list.print_asked.connect(self.print_for)
        self._name = quiet_label("")
        self._name.setObjectName("panelTitle")
        self._pain = quiet_label("")
        self._clear = QPushButton(say("Stretches are free again"))
        self._clear.clicked.connect(self._clear_pain)
        self._row = PartRow([title for title, _ in PARTS], self.show_part)
        self._stack = QStackedWidget()
        self._nobody = QWidget()
        self._stack.addWidget(self._nobody)
        head = QHBoxLayout()
        head.setContentsMargins(24, 16, 24, 8)
        head.setSpacing(16)
        head.addWidget(self._name)
        head.addWidget(self._pain)
        head.addWidget(self._clear)
        head.addStretch(1)
        head.addWidget(self._row)
        beside = QVBoxLayout()
        beside.setSpacing(0)
        beside.addLayout(head)
        beside.addWidget(self._stack, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(self.list)
        across.addLayout(beside, 1)
        studio.changed.connect(self._show)
        studio.chosen.connect(self._show)
        self.show_part(PARTS[0][0])

    @property
    def room(self) -> str:
        """The room of the window that is entered."""
        return self._window.room

    def has_room(self, action: str) -> bool:
        """None of this room's actions leads to another."""
        return True

    @property
    def open_lesson(self) -> OpenLesson:
        """The lesson that is open in the lessons room."""
        return self._window.open_lesson

    def print_for(self) -> None:
        """Print the open lesson for students."""
        self._window.print_for()

    def show_rules(self) -> None:
        """Show how the numbers are worked out."""
        from desktop.people.rules_window import RulesWindow

        RulesWindow(self.window()).show()

    def page_to_print(self, suggested: str) -> Path | None:
        """Ask where to print a page."""
        return self.questions.page_to_print(self._memory.folder / suggested)

    def lessons_missed(self) -> list[Path]:
        """Ask which lessons were missed."""
        return self.questions.lessons_missed(self._memory.folder)

    @property
    def part(self) -> str:
        """The title of the part that is shown."""
        return self._row.title

    def show_part(self, title: str) -> None:
        """Show a part of the chosen student."""
        self._row.mark(title)
        self._show()
        if isinstance(part := self.parts.get(title), RecordPart):
            part.focus_sheet()

    def choose_folder(self) -> None:
        """Ask for another folder of students."""
        folder = self.questions.students_folder(self.studio.folder)
        if folder is not None:
            self._memory.students_folder = folder
            self.studio.open_folder(folder)

    def _show(self) -> None:
        student = self.studio.student
        self._name.setText("" if student is None else student.code)
        self._row.setVisible(student is not None)
        since = None if student is None else student.pain_since(_today())
        self._pain.setVisible(since is not None)
        self._clear.setVisible(since is not None)
        if since is not None:
            self._pain.setText(say("Pain was ticked: drills that stretch rest."))
        if student is None:
            self._stack.setCurrentWidget(self._nobody)
            return
        title = self.part
        if title not in self.parts:
            self.parts[title] = dict(PARTS)[title](self)
            self._stack.addWidget(self.parts[title])
        self._stack.setCurrentWidget(self.parts[title])

    def _clear_pain(self) -> None:
        student = self.studio.student
        if student is not None:
            self.studio.edit(say("Stretches are free again"), cleared(student, _today()))

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.list.list.setFocus(Qt.FocusReason.OtherFocusReason)
        self._open_folder()


def _today() -> Any:
    from datetime import date

    return date.today()
