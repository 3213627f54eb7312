"""The terms room: the term's title and its parts across the top, one part below."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from desktop.aside import Aside
from desktop.files import NOT_IN_NAMES
from desktop.forms.row import quiet_label
from desktop.memory import Memory, counts_file, own_students_folder
from desktop.painting.elided_label import ElidedLabel
from desktop.part_row import PartRow
from desktop.plan.binder_part import BinderPart
from desktop.plan.counting import Counting
from desktop.plan.coverage_part import CoveragePart
from desktop.plan.hardness_part import HardnessPart
from desktop.plan.house_part import HousePart
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.levels_part import LevelsPart
from desktop.plan.new_term import Begun, NewTerm
from desktop.plan.open_file import OpenFile
from desktop.plan.open_house import OpenHouse
from desktop.plan.open_levels import OpenLevels
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import button, into
from desktop.plan.plan_questions import PlanQuestions
from desktop.plan.shelf_counting import ShelfCounting
from desktop.plan.weeks_part import WeeksPart
from desktop.plan.wording import day_words
from desktop.words import english, say
from lessonkit.curriculum.term import Term
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.curriculum_file import SUFFIX as LEVELS_SUFFIX
from lessonkit.storage.house_file import SUFFIX as HOUSE_SUFFIX
from lessonkit.storage.strict import LessonFileError

_LEVELS, _HOUSE = "levels", english("house style")
"""Under which names the files that were open last are remembered."""


class Window(Protocol):
    """What only the whole window can do."""

    @property
    def room(self) -> str: ...
    def show_lesson(
        self, path: Path, block_id: str = "", edit: tuple[str, Callable[[Lesson], Lesson]] | None = None
    ) -> bool: ...
    def lesson_at(self, path: Path) -> Lesson | None: ...
    def edit_lesson(self, label: str, lesson: Lesson) -> None: ...


PARTS: tuple[tuple[str, Callable[[PlanRoom], QWidget]], ...] = (
    (english("Weeks"), lambda room: room.weeks),
    (english("Coverage"), lambda room: room.make_coverage()),
    (english("Difficulty"), lambda room: room.make_hardness()),
    (english("Binder"), lambda room: room.make_binder()),
    (english("Levels"), lambda room: room.make_levels()),
    (english("House style"), lambda room: room.make_house()),
)
"""The parts of the room, each made when it is first looked at."""


class PlanRoom(QWidget):
    """The room. It knows the open term, and of the window only how to show a lesson."""

    changed = Signal()
    """Another part or another row is chosen."""

    def __init__(
        self,
        memory: Memory,
        tell: Callable[[str], None],
        window: Window,
        open_term: OpenTerm,
        levels: OpenLevels,
        house: OpenHouse,
        aside: Aside,
    ) -> None:
        super().__init__()
        self._memory = memory
        self._tell = tell
        self._window = window
        self.open_term = open_term
        self.levels = levels
        self.house = house
        self.aside = aside
        self.beside = LessonsBeside(aside)
        self.counting = Counting(aside, levels)
        self.questions = PlanQuestions(self)
        self.weeks = WeeksPart(open_term, self.beside, self.counting, self.student_folders)
        self.parts: dict[str, QWidget] = {}
        self._name, self._when = ElidedLabel("panelTitle"), ElidedLabel("quiet")
        self._row = PartRow([title for title, _ in PARTS], self.show_part)
        self._stack = QStackedWidget()
        self._nothing = self._empty_part()
        self._stack.addWidget(self._nothing)
        head = QHBoxLayout()
        head.setContentsMargins(24, 16, 24, 8)
        head.setSpacing(16)
        # What the parts are called is read first.
        head.addWidget(self._name)
        head.addWidget(self._when, 1)
        head.addWidget(self._row)
        below = QVBoxLayout(self)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(0)
        below.addLayout(head)
        below.addWidget(self._stack, 1)
        self.weeks.open_asked.connect(self.open_placed)
        self.weeks.row_chosen.connect(self.changed)
        open_term.changed.connect(self._follow)
        open_term.opened.connect(self._begin_another)
        self.beside.changed.connect(self._count)
        self.beside.told.connect(tell)
        for one in self._open_files:
            one.told.connect(lambda sentence: tell(sentence if sentence.endswith(".") else f"{sentence}."))
        for one in (levels, house):
            one.changed.connect(self.changed)
        self.show_part(PARTS[0][0])

    @property
    def room(self) -> str:
        """The room of the window that is entered."""
        return self._window.room

    def has_room(self, action: str) -> bool:
        """None of this room's actions leads to another."""
        return True

    @property
    def part(self) -> str:
        """The title of the part that is shown."""
        return self._row.title

    @property
    def is_on_weeks(self) -> bool:
        """Whether weeks can be worked on now."""
        return self.open_term.is_open and self.part == PARTS[0][0]

    @property
    def undoing(self) -> OpenFile:
        """What Undo and Redo work on: that of the part that is shown, where it has one of its own."""
        part = self._stack.currentWidget()
        return part.undoing if isinstance(part, LevelsPart | HousePart) else self.open_term

    def show_part(self, title: str) -> None:
        """Show a part of the term."""
        self._row.mark(title)
        self._show()
        if self.is_on_weeks:
            self.weeks.focus_weeks()
        self.changed.emit()

    def new(self) -> None:
        """Ask how a new term begins, and where it is kept."""
        is_open = self.open_term.is_open
        dialog = NewTerm(
            self, self.questions, self.open_term.folder or self._memory.folder,
            self.open_term.term if is_open else None, self.beside.lessons, date.today(),
        )  # fmt: skip
        dialog.accepted.connect(lambda: self._begin(dialog.begun))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.open()

    def open(self) -> None:
        """Ask for a term and open it."""
        path = self.questions.term_to_open(self.open_term.folder or self._memory.folder)
        if path is not None:
            self.open_path(path)

    def open_path(self, path: Path) -> bool:
        """Open a term; says whether it could be read."""
        if not self.may_close() or not self.open_term.open(path):
            return False
        self._memory.term = path
        return True

    def save(self) -> None:
        """Say that the term is saved, as it is after every change; where it is not, find another file."""
        if self.may_close() and self.open_term.path is not None:
            self._tell(
                say("{name} is saved. Every change is saved as soon as it is made.", name=self.open_term.path.name)
            )

    def save_in(self) -> None:
        """Go on in another file beside the lessons."""
        assert self.open_term.path is not None
        path = self.questions.where_to_save(self.open_term.path)
        if path is not None:
            self.open_term.save_in(path)
            self._memory.term = path
            self.beside.look(path.parent)

    def save_table(self) -> None:
        """Save the plan as a table for spreadsheets."""
        # A room that saves no table has no use for these.
        from lessonkit.curriculum.plan_table import plan_csv
        from lessonkit.storage.safe_write import safe_write

        assert self.open_term.path is not None
        path = self.questions.where_to_save_table(self.open_term.path.with_suffix(".csv"))
        if path is None:
            return
        try:
            safe_write(path, plan_csv(self.open_term.term, self.beside.lessons))
        except OSError as error:
            self._tell(
                say(
                    "The plan was not saved in {path}: {strerror}. Choose another folder.",
                    path=path,
                    strerror=error.strerror,
                )
            )
        else:
            self._tell(say("The plan is saved as a table in {path}", path=path))

    def open_placed(self, placement_id: str) -> None:
        """Open a placed lesson in the lessons room."""
        path = self.beside.path_of(self.open_term.term.placement(placement_id).lesson)
        if path is not None:
            self._window.show_lesson(path)

    def may_close(self) -> bool:
        """Whether the window, or this term, may go: everything is written, or a file is found for what could not be."""
        for one in self._open_files:
            while not one.is_written:
                assert one.path is not None
                path = self.questions.where_to_save(one.path)
                if path is None:
                    return False
                one.save_in(path)
        return True

    def next_pane(self) -> None:
        """Go to the next pane of the part."""
        self._go(1)

    def last_pane(self) -> None:
        """Go to the pane before."""
        self._go(-1)

    def _go(self, by: int) -> None:
        part = self._stack.currentWidget()
        if not isinstance(part, WeeksPart | CoveragePart | HardnessPart | BinderPart | LevelsPart | HousePart):
            self.begin_new.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        panes = [pane for pane in part.panes if pane.isVisible()]
        focus = self.window().focusWidget()
        here = [
            at for at, pane in enumerate(panes) if focus is not None and (pane is focus or pane.isAncestorOf(focus))
        ]
        if panes:
            into(panes[(here[0] + by) % len(panes) if here else 0])

    def make_coverage(self) -> CoveragePart:
        """The part that shows what the term covers."""
        part = CoveragePart(self.counting, ShelfCounting(self.counting, self.beside, counts_file()), self.beside)
        part.shown.connect(self._window.show_lesson)
        part.put_in.connect(lambda path, label, edit: self._window.show_lesson(path, "", (label, edit)))
        return part

    def make_hardness(self) -> HardnessPart:
        """The part that shows how hard the weeks are."""
        part = HardnessPart(self.counting, self.beside)
        part.shown.connect(self._window.show_lesson)
        return part

    def make_levels(self) -> LevelsPart:
        """The part with the levels; those that were open last are opened, or the first beside the term."""
        part = LevelsPart(
            self.levels, self.counting, self.beside, self.aside, self.student_folders,
            lambda: self.open_term.term.everybody,
            lambda: self.questions.levels_to_open(self._folder),
            lambda: self.questions.where_to_keep_levels(self._folder / (say("Levels") + LEVELS_SUFFIX)),
        )  # fmt: skip
        part.shown.connect(self._window.show_lesson)
        part.opened.connect(lambda path: self._memory.keep_words(_LEVELS, str(path.absolute())))
        return part

    def make_house(self) -> HousePart:
        """The part with the house style; the one that was open last is opened, or the first beside the term."""
        part = HousePart(
            self.house, self.open_term, self.beside, self._window,
            lambda: self.questions.house_to_open(self._folder),
            lambda: self.questions.where_to_keep_house(self._folder / f"{say('House style')}{HOUSE_SUFFIX}"),
        )  # fmt: skip
        part.shown.connect(self._window.show_lesson)
        part.told.connect(self._tell)
        part.mended.connect(lambda: self.beside.look(self.open_term.folder))
        part.opened.connect(lambda path: self._memory.keep_words(_HOUSE, str(path.absolute())))
        self._open_kept(self.house, _HOUSE, HOUSE_SUFFIX)
        return part

    def make_binder(self) -> BinderPart:
        """The part that binds the term."""
        part = BinderPart(
            self.open_term, self.beside, self._memory, self.student_folders,
            lambda folder: self.questions.where_to_bind(folder),
        )  # fmt: skip
        part.told.connect(self._tell)
        return part

    def student_folders(self) -> tuple[Path, ...]:
        """Where students' files may lie."""
        beside = self._folder
        return self._memory.students_folder or own_students_folder(), beside, beside / "students"

    @property
    def _folder(self) -> Path:
        return self.open_term.folder or self._memory.folder

    @property
    def _open_files(self) -> tuple[OpenFile, ...]:
        return self.open_term, self.levels, self.house

    def _open_kept(self, one: OpenFile, kept: str, suffix: str) -> None:
        words = self._memory.words(kept)
        paths = [Path(words)] if words and Path(words).is_file() else sorted(self._folder.glob(f"*{suffix}"))
        if paths and not one.is_open and one.open(paths[0]):
            self._memory.keep_words(kept, str(paths[0].absolute()))

    def close_runs(self) -> None:
        """The window goes."""
        for part in self.parts.values():
            if isinstance(part, BinderPart | HousePart | CoveragePart):
                part.close_run()

    def close_files(self) -> None:
        """Everything is written before the window goes."""
        for one in self._open_files:
            one.saving.close()

    def _take_last(self, path: Path, found: Term | LessonFileError) -> None:
        """Go on with the term that was open last, unless another was opened meanwhile."""
        if not self.open_term.is_open:
            self.open_term.take(path, found)

    def _begin(self, begun: Begun) -> None:
        name = "".join(sign for sign in begun.term.title if sign not in NOT_IN_NAMES).strip(" .") or say("Term")
        path = self.questions.where_to_save(begun.folder / f"{name}.term")
        if path is not None and self.may_close():
            self.open_term.begin(begun.term, path)
            self._memory.term = path

    def _empty_part(self) -> QWidget:
        holder = QWidget()
        words = quiet_label(say("A term places lessons in weeks, and shows what they cover and how hard they are."))
        words.setObjectName("quiet")
        self.begin_new = button(say("New term …"), say("Begin a new term"), self.new)
        self.begin_open = button(say("Open term …"), say("Open a term"), self.open)
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addStretch(1)
        row.addWidget(self.begin_new)
        row.addWidget(self.begin_open)
        row.addStretch(1)
        column = QVBoxLayout(holder)
        column.setSpacing(16)
        column.addStretch(2)
        column.addWidget(words, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addLayout(row)
        column.addStretch(3)
        return holder

    def _begin_another(self) -> None:
        self.beside.look(self.open_term.folder)
        # What comes first judges the weeks, too.
        self._open_kept(self.levels, _LEVELS, LEVELS_SUFFIX)
        self._follow()
        self.show_part(PARTS[0][0])

    def _follow(self) -> None:
        self._show()
        self._count()

    def _count(self) -> None:
        if self.open_term.is_open and self.beside.is_read:
            self.counting.count(self.open_term.term, self.beside.lessons)

    def _show(self) -> None:
        term, is_open = self.open_term.term, self.open_term.is_open
        self._name.setText(term.title if is_open else "")
        dated = term.dated
        has_days = is_open and bool(dated)
        self._when.setText(
            say("{first} to {last}", first=day_words(dated[0].day), last=day_words(dated[-1].day)) if has_days else ""
        )
        self._row.setVisible(is_open)
        if not is_open:
            self._stack.setCurrentWidget(self._nothing)
            return
        title = self.part
        if title not in self.parts:
            self.parts[title] = dict(PARTS)[title](self)
            self._stack.addWidget(self.parts[title])
        self._stack.setCurrentWidget(self.parts[title])

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self.open_term.is_open:
            self.beside.look(self.open_term.folder)
        elif (path := self._memory.term) is not None:
            self.aside.ask("term", lambda: self.open_term.read(path), lambda found: self._take_last(path, found))
