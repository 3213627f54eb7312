"""The rooms put into the window, and the parts of the lessons room in their places. What they do is theirs."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QPoint, Qt, SignalInstance
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import QDialog, QHBoxLayout, QMenu, QVBoxLayout, QWidget

from desktop.actions import Actions, Menu
from desktop.desk import Desk
from desktop.dialogs.questions import Questions
from desktop.files import Asked
from desktop.first_pages import FirstPages
from desktop.frame import NotebookFrame
from desktop.keeping import Keeping
from desktop.memory import Memory, state_folder
from desktop.people.for_student import ForStudent
from desktop.people.own_lesson import OwnLesson, in_names
from desktop.people.own_lesson_bars import OwnLessonBanner, OwnLessonSide
from desktop.people.people import People
from desktop.people.proposed_mark import ProposedMark
from desktop.people.questions import PeopleQuestions
from desktop.people.student_chooser import StudentChooser
from desktop.people.student_view import StudentView
from desktop.plan.plan import FETCHED, Plan
from desktop.printed.print_place import PrintPlace
from desktop.rooms import LESSONS, STUDENTS, TERMS, TITLES, Rooms
from desktop.status_line import StatusLine
from desktop.theme import dress_application
from desktop.words import say

if TYPE_CHECKING:
    from desktop.people.print_dialog import ToPrint

_BLOCK_ACTIONS = ("move_up", "move_down", "duplicate", "delete", "reset")
_MENU_ACTIONS = (
    "play", "play_from_note", "write", "fingers", "put_in", "cut", "copy", "copy_picture", "copy_notes", "paste",
    "duplicate", "page_around", "delete", "move_up", "move_down", "keep_preset",
)  # fmt: skip


class Notebook(QObject):
    """The lessons room in a frame."""

    def __init__(
        self, frame: NotebookFrame, memory: Memory, asked: Asked | None = None, pages: FirstPages | None = None
    ) -> None:
        super().__init__(frame)
        self._memory = memory
        self.frame = frame
        self.rooms: Rooms | None = None
        self.preview: PrintPlace | None = None
        pages = pages or FirstPages()
        self.open_lesson = pages.open_lesson
        self.people = People(memory, frame)
        self.people.told.connect(self.tell)
        self.people_questions = PeopleQuestions(frame)
        self.for_student = ForStudent(self.people, self.open_lesson)
        self.keeping = Keeping(self.open_lesson, state_folder() / "unsaved")
        asked = asked or Questions(frame)
        self.desk = Desk(pages, memory, asked, self)
        self.own_lesson = OwnLesson(
            self.people, self.open_lesson, self.desk.files, memory, asked, self.desk.messages.tell, frame
        )  # fmt: skip
        self.own_lesson.shown.connect(self._print_for_its_student)
        self.own_lesson.pointed.connect(self.desk.selection.select)
        self.proposed_mark = ProposedMark(
            self.for_student, self.own_lesson, self.open_lesson, self.desk.messages.tell
        )  # fmt: skip
        self.desk.playing_in.lesson_in_sight = lambda: self.proposed_mark.lesson
        self.desk.playing_in.more_offers = self.proposed_mark.offers
        self.desk.playing_in.proposed.connect(self._refresh)
        self.plan = Plan(memory, self.desk, self)
        self.actions_table = Actions(self.desk, frame)
        self.desk.panel.set_actions([self.actions_table[name] for name in _BLOCK_ACTIONS])
        self.desk.view.menu_asked.connect(self._show_menu)
        self.keeping.failed.connect(self._tell)
        self.open_lesson.changed.connect(self._refresh)
        self.open_lesson.replaced.connect(self._refresh)
        self.open_lesson.named.connect(self._refresh)
        self.desk.selection.changed.connect(self.actions_table.refresh)
        self.desk.listening.changed.connect(self.actions_table.refresh)
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._follow_system)
        frame.ask_to_close = self._may_close
        self._refresh()

    def furnish(self, room: str = LESSONS) -> None:
        """Put the parts into the frame and go to a room."""
        makers = {
            STUDENTS: (("desktop.people.people_menus",), self._students_room),
            TERMS: (FETCHED, self._terms_room),
        }
        self.rooms = Rooms(self._lessons_room(), makers)
        self.rooms.row.chosen.connect(self.enter)
        self.rooms.entered.connect(self._settle_in)
        bar = self.frame.menuBar()
        self.actions_table.fill(bar)
        bar.setCornerWidget(self.rooms.row)
        self.frame.setCentralWidget(self._body(self.rooms))
        self.desk.view.setFocus()
        if room in self.rooms.names:
            self.enter(room)

    @property
    def room(self) -> str:
        """The room that is entered."""
        return LESSONS if self.rooms is None else self.rooms.current

    @property
    def rooms_there_are(self) -> tuple[str, ...]:
        """The rooms that can be entered."""
        return (LESSONS,) if self.rooms is None else self.rooms.names

    def enter(self, name: str) -> None:
        """Go to another room; what was being written is written."""
        if self.rooms is not None and name in self.rooms.names and name != self.rooms.wanted:
            self.desk.writing.end()
            self.rooms.go(name)

    @property
    def appearance(self) -> str:
        """``light``, ``dark`` or ``system``."""
        return self._memory.appearance

    def dress(self, appearance: str) -> None:
        """Dress the window, now and at the next start."""
        self._memory.appearance = appearance
        dress_application(appearance, self._memory.larger)

    def leave(self) -> None:
        """Close, asking about unsaved changes."""
        self.frame.close()

    def act(self, name: str) -> None:
        """Do what a menu offers under this name, or say that it cannot be done now."""
        action = self.frame.findChild(QAction, name)
        if action is not None and action.isVisible() and action.isEnabled():
            action.trigger()
        else:
            self.tell(say("That cannot be done here and now; its room or its block has to be chosen first."))

    def tell(self, sentence: str) -> None:
        """Show a sentence at the top."""
        self.desk.messages.tell(sentence)

    def print_for(self) -> None:
        """Ask for whom the open lesson is to be printed, and print it."""
        self.desk.writing.end()
        if self.own_lesson.adapted is not None:
            self.own_lesson.with_student(lambda path, student: self._ask_for_whom({path}))
            return
        if not (self.people.is_open and self.people.studio.is_read):
            self.people.opened.connect(self._print_when_read)
            self.people.open()
            return
        self._ask_for_whom(self._chosen_students())

    def see_printed(self) -> None:
        """See how the lesson will be printed, or go back to it."""
        if self.preview is not None:
            self.preview.turn()

    def keep_for_student(self) -> None:
        """Keep the lesson, as it is looked at for a student, as a lesson of its own."""
        if self.for_student.adapted is not None:
            self.own_lesson.keep(self.for_student.adapted)

    def _ask_for_whom(self, chosen: set[Path]) -> None:
        from desktop.people.print_dialog import PrintDialog

        dialog = PrintDialog(self.frame, self.people.studio, self._to_print(), chosen, self.people_questions)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.show()

    def _print_when_read(self) -> None:
        self.people.opened.disconnect(self._print_when_read)
        if self.people.studio.is_read:
            self.print_for()
        else:
            self.people.studio.changed.connect(self.print_for, Qt.ConnectionType.SingleShotConnection)

    def _to_print(self) -> ToPrint:
        from desktop.people.print_dialog import ToPrint

        path, looked_at = self.open_lesson.path, self.for_student
        choices = {} if looked_at.path is None else {looked_at.path: tuple(looked_at.choices.items())}
        folder = path.parent if path is not None else self._memory.folder
        name = path.stem if path is not None else ""
        own = self.own_lesson
        if own.adapted is not None:
            name = name.removesuffix(say(" for {in_names}", in_names=in_names(own.adapted.code)))
            return ToPrint(self.open_lesson.lesson, name, folder, {}, own.has_around, own.has_name, own.adapted)
        return ToPrint(self.open_lesson.lesson, name, folder, choices, looked_at.has_around, looked_at.has_name)

    def _print_for_its_student(self) -> None:
        """A student's own lesson is printed for its student."""
        files = self.desk.files
        if self.own_lesson.adapted is not None:
            files.prints_instead = self.print_for
        elif files.prints_instead == self.print_for:
            files.prints_instead = None
        self._refresh()

    def _chosen_students(self) -> set[Path]:
        """Whom the printing begins with: who is looked at, or chosen in their room."""
        chosen = self.for_student.path if self.room == LESSONS else self.people.studio.current
        return set() if chosen is None else {chosen}

    def _settle_in(self, name: str) -> None:
        self._memory.room = name
        beside = self._beside_pages if name == LESSONS else self._beside_rooms
        beside.insertWidget(0, self.desk.helping.place)
        if name == LESSONS:
            self.desk.view.setFocus()
        self._refresh()

    def _students_room(self) -> QWidget:
        from desktop.people.people_menus import MENUS
        from desktop.people.people_room import PeopleRoom

        studio = self.people.studio
        room = PeopleRoom(studio, self._memory, self.tell, self, self.people.open_folder)
        self._offer(room, MENUS, STUDENTS, (studio.changed, studio.chosen))
        return room

    def _terms_room(self) -> QWidget:
        from desktop.plan.plan_menus import MENUS

        room = self.plan.make_room()
        self._offer(room, MENUS, TERMS, (room.open_term.changed, room.open_term.opened, room.changed))
        return room

    def _offer(self, room: QWidget, menus: Sequence[Menu], name: str, changes: Sequence[SignalInstance]) -> None:
        """Put the menus of a room into the bar, kept true by what changes in it."""
        assert self.rooms is not None
        table = Actions(room, self.frame, menus, name)  # type: ignore[arg-type]
        # Those that are everywhere, to look and to ask, come last.
        table.fill(self.frame.menuBar(), self.actions_table.menus[-2].menuAction())
        table.menus[0].addSeparator()
        table.menus[0].addAction(self.actions_table["quit"])
        for change in (*changes, self.rooms.entered):
            change.connect(table.refresh)
            change.connect(self._refresh)

    def _body(self, rooms: Rooms) -> QWidget:
        body = QWidget()
        layout = QVBoxLayout(body)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.desk.messages)
        self._beside_rooms = QHBoxLayout()
        self._beside_rooms.setSpacing(0)
        self._beside_rooms.addWidget(rooms, 1)
        layout.addLayout(self._beside_rooms, 1)
        return body

    def _lessons_room(self) -> QWidget:
        desk = self.desk
        status = StatusLine(desk.view, desk.drawn)
        status.set_actions([self.actions_table[name] for name in ("see_printed", "zoom_out", "zoom_in", "fit_width")])
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addWidget(OwnLessonBanner(self.own_lesson))
        middle.addWidget(desk.looking.place)
        middle.addWidget(desk.view, 1)
        middle.addWidget(status)
        across = QHBoxLayout()
        across.setSpacing(0)
        pages = QWidget()
        pages.setLayout(middle)
        view = StudentView(self.for_student, desk, pages, desk.panel)
        view.print_asked.connect(self.print_for)
        view.keep_asked.connect(self.keep_for_student)
        beside = QVBoxLayout()
        beside.setSpacing(0)
        chooser = StudentChooser(self.for_student)
        side = OwnLessonSide(self.own_lesson, desk.selection, chooser, view.panels)
        side.print_asked.connect(self.print_for)
        beside.addWidget(chooser)
        beside.addWidget(side.frame)
        beside.addWidget(view.panels, 1)
        # The help stands below the strip of keys, which needs the width, and in other rooms beside all that is there.
        self._beside_pages = across
        across.addWidget(desk.helping.place)
        across.addWidget(desk.shelf)
        self.preview = PrintPlace(desk, view.pages)
        self.for_student.chosen.connect(self.preview.close_preview)
        self.preview.changed.connect(self.actions_table.refresh)
        across.addWidget(self.preview, 1)
        across.addLayout(beside)
        body = QWidget()
        layout = QVBoxLayout(body)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(desk.strip)
        layout.addLayout(across, 1)
        layout.addWidget(desk.listening.place)
        layout.addWidget(desk.keyboard)
        # It may have been seen elsewhere before.
        desk.view.show()
        return body

    @property
    def _shown(self) -> tuple[str, Path | None]:
        """What the room shows, for the title of the window, and its file."""
        if self.room == TERMS:
            return self.plan.shown
        if self.room == STUDENTS:
            student = self.people.studio.student
            return (student.code if student is not None else say(TITLES[STUDENTS])), self.people.studio.current
        return self.open_lesson.lesson.title or say("Lesson without a title"), self.open_lesson.path

    def _refresh(self) -> None:
        title, path = self._shown
        self.frame.setWindowTitle(f"{title}[*]" + (f" · {path.name}" if path is not None else ""))
        self.frame.setWindowModified(self.room == LESSONS and self.open_lesson.has_unsaved)
        self.actions_table.refresh()

    def _show_menu(self, point: QPoint) -> None:
        menu = QMenu(self.frame)
        for name in _MENU_ACTIONS:
            menu.addAction(self.actions_table[name])
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.popup(point)

    def _tell(self, sentence: str) -> None:
        self.tell(f"{sentence}.")

    def _follow_system(self) -> None:
        if self.appearance == "system":
            dress_application("system", self._memory.larger)

    def _may_close(self) -> bool:
        self.desk.writing.end()
        if not self.people.may_close() or not self.desk.files.may_leave() or not self.plan.may_close():
            return False
        self._memory.geometry = self.frame.saveGeometry()
        self._memory.last_lesson = self.open_lesson.path
        self.keeping.close()
        for dialog in self.frame.findChildren(QDialog):
            dialog.close()
        self.people.close()
        self.desk.playing_in.close()
        self.desk.listening.close()
        self.plan.close()
        self.desk.sound_files.stop()
        self.desk.exporting.stop()
        return True
