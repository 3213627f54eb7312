"""The house style of the studio: what lessons agree on, where each differs, and mending them in one step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QListWidgetItem, QStackedWidget, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.plan.house_form import HouseForm
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.mending import LessonsRoom, Mending
from desktop.plan.open_house import Agreed, Mend, OpenHouse
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import button, empty_part, lines, row_of, scrolled
from desktop.plan.wording import title_of
from desktop.words import english, say
from lessonkit.curriculum.house import POINTS, Binding, Deviation, deviations_from, house_of, mended
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.house_file import SUFFIX

FORM_WIDTH = 480
_NAME = Qt.ItemDataRole.UserRole

MOST_LISTED = 100
"""So many lessons are listed; of more it is told, and all of them are mended."""

FEW, PAUSE = 100, 250
"""More lessons than these are looked through when the hand has rested so long, in milliseconds."""

_ABOUT = english(
    "A house style is what all lessons of a studio agree on: names of chords, spelling, fingers, the head of the page."
)


class HousePart(QWidget):
    """The part."""

    shown = Signal(Path)
    """A lesson is to be shown in the lessons room."""

    opened = Signal(Path)
    """A house style of another file is open."""

    mended = Signal()
    """Lessons were brought into another state in their files."""

    told = Signal(str)
    """Something the teacher should know."""

    def __init__(
        self,
        house: OpenHouse,
        open_term: OpenTerm,
        beside: LessonsBeside,
        lessons_room: LessonsRoom,
        ask_open: Callable[[], Path | None],
        ask_new: Callable[[], Path | None],
    ) -> None:
        super().__init__()
        self.house = house
        self._open_term = open_term
        self._beside = beside
        self._lessons_room = lessons_room
        self._ask_open, self._ask_new = ask_open, ask_new
        self.mending = Mending(lessons_room)
        self.form = HouseForm(house)
        self.begin_new = button(say("New house style …"), say("Begin a house style"), self.new_house)
        self.begin_open = button(say("Open house style …"), say("Open a house style"), self.open_house)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(PAUSE)
        self._soon.timeout.connect(self.show_deviations)
        self._stack = QStackedWidget()
        self._stack.addWidget(empty_part(say(_ABOUT), self.begin_new, self.begin_open))
        self._stack.addWidget(self._full())
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._stack)
        house.changed.connect(self.show_house)
        house.opened.connect(self.show_house)
        house.to_mend.connect(self.mending.carry_out)
        self.mending.done.connect(self._take_mended)
        open_term.changed.connect(self.show_deviations)
        open_term.opened.connect(self.show_deviations)
        beside.changed.connect(self.show_deviations)
        self.show_house()

    @property
    def undoing(self) -> OpenHouse:
        """What Undo works on here."""
        return self.house

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.form.name, self.list

    @property
    def names(self) -> list[str]:
        """The files of the lessons that are looked at, in their order."""
        lessons = self._beside.lessons
        if self.which.currentIndex() == 1:
            return sorted(lessons, key=lambda name: title_of(name, lessons).casefold())
        placed = (one.lesson for _, one in self._open_term.term.placements)
        return [name for name in dict.fromkeys(placed) if name in lessons]

    def show_house(self) -> None:
        """Show the house style as it is now."""
        self._stack.setCurrentIndex(1 if self.house.is_open else 0)
        self._file.setText(self.house.path.name if self.house.path is not None else "")
        self.form.show_style()
        if self.house.is_open and len(self.names) > FEW:
            self._soon.start()
        else:
            self.show_deviations()

    def show_deviations(self) -> None:
        """Show where lessons differ, if somebody sees it."""
        if not self.isVisible() or not self.house.is_open:
            return
        current = self.list.currentItem()
        chosen = current.data(_NAME) if current is not None else None
        self.list.clear()
        names = self.names
        tell = deviations_from(self.house.style)
        found = {name: self._wanted(tell(self._lesson(name))) for name in names}
        differing = [name for name in names if found[name]]
        for name in differing[:MOST_LISTED]:
            told = "\n".join(_told(one) for one in found[name])
            item = QListWidgetItem(f"{title_of(name, self._beside.lessons)}\n{told}")
            item.setData(_NAME, name)
            self.list.addItem(item)
            if name == chosen:
                self.list.setCurrentItem(item)
        if len(differing) > MOST_LISTED:
            item = QListWidgetItem(say("… and {n} more", n=len(differing) - MOST_LISTED))
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)
        if differing and self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        if not names:
            self._said.setText(say("No lessons yet"))
        elif not differing:
            self._said.setText(say("Every lesson agrees with the house style."))
        else:
            self._said.setText(
                say("{n} of {count} lessons differ", n=len(differing), count=len(names))
            )  # fmt: skip
        self._follow()

    def mend_chosen(self) -> None:
        """Mend the chosen lesson."""
        item = self.list.currentItem()
        if item is not None:
            self._mend([item.data(_NAME)])

    def mend_all(self) -> None:
        """Mend all lessons that are looked at, in one step."""
        self._mend(self.names)

    def take_over(self) -> None:
        """Take what the house wants from the chosen lesson; what holds how much stays."""
        item = self.list.currentItem()
        if item is not None:
            name = item.data(_NAME)
            model = house_of(self._lesson(name)).model
            label = say("House style as in {title}", title=title_of(name, self._beside.lessons))
            self.house.attempt(label, lambda style: replace(style, model=model))

    def open_house(self) -> None:
        """Ask for a house style and open it."""
        path = self._ask_open()
        if path is not None and self.house.open(path):
            self.opened.emit(path)

    def new_house(self) -> None:
        """Ask where a new house style is kept, and begin it as the first lesson is, all of it advised."""
        path = self._ask_new()
        if path is not None:
            names = self.names
            first = self._lesson(names[0]) if names else Lesson()
            self.house.begin(Agreed(house_of(first, path.name.removesuffix(SUFFIX))), path)
            self.opened.emit(path)

    def close_run(self) -> None:
        """Everything is written before the window goes."""
        self.mending.close()

    def _lesson(self, name: str) -> Lesson:
        path = self._beside.path_of(name)
        opened = self._lessons_room.lesson_at(path) if path is not None else None
        return opened or self._beside.lessons[name]

    def _wanted(self, found: tuple[Deviation, ...]) -> tuple[Deviation, ...]:
        return tuple(one for one in found if one.binding is Binding.LOCKED or not self.only_locked.isChecked())

    def _mend(self, names: list[str]) -> None:
        only_locked = self.only_locked.isChecked()
        mends = []
        for name in names:
            lesson, path = self._lesson(name), self._beside.path_of(name)
            after = mended(lesson, self.house.style, only_locked)
            if after != lesson and path is not None:
                mends.append(Mend(path, lesson, after))
        title = title_of(names[0], self._beside.lessons) if names else ""
        one = say("Bring {title} into house style", title=title)
        self.house.mend(one if len(mends) == 1 else say("Bring {n} lessons into house style", n=len(mends)), mends)

    def _take_mended(self, told: tuple[str, ...]) -> None:
        if told:
            self.told.emit(" ".join(told[:3]))
        self.mended.emit()
        self.show_deviations()

    def _follow(self) -> None:
        has_lesson = self.list.currentItem() is not None
        for one in (self.mend_one, self.as_lesson, self.mend_each):
            one.setEnabled(has_lesson)

    def _show_lesson(self, item: QListWidgetItem) -> None:
        path = self._beside.path_of(item.data(_NAME))
        if path is not None:
            self.shown.emit(path)

    def _full(self) -> QWidget:
        self._file = quiet_label("")
        self._file.setObjectName("quiet")
        left = QWidget()
        left.setFixedWidth(FORM_WIDTH)
        below = QVBoxLayout()
        below.setContentsMargins(24, 8, 24, 16)
        below.setSpacing(4)
        below.addWidget(self._file)
        below.addLayout(row_of(
            button(say("New house style …"), say("Begin a house style"), self.new_house),
            button(say("Open house style …"), say("Open a house style"), self.open_house),
        ))  # fmt: skip
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(scrolled(self.form), 1)
        column.addLayout(below)
        self.which = QComboBox()
        self.which.setAccessibleName(say("Which lessons"))
        self.which.addItems([say("Lessons of the term"), say("All lessons of the folder")])
        self.which.activated.connect(self.show_deviations)
        self.only_locked = QCheckBox(say("Only what is locked"))
        self.only_locked.clicked.connect(self.show_deviations)
        self._said = quiet_label("")
        self._said.setObjectName("groupCaption")
        self.list = lines(say("Lessons that differ"), say("Enter opens the lesson in the lessons room."))
        self.list.itemActivated.connect(self._show_lesson)
        self.list.currentRowChanged.connect(self._follow)
        self.mend_each = button(say("Mend all"), say("Bring all these lessons into house style"), self.mend_all)
        self.mend_one = button(
            say("Mend this lesson"), say("Bring the chosen lesson into house style"), self.mend_chosen
        )
        self.as_lesson = button(
            say("Take over from this lesson"), say("Let the house style be as the chosen lesson is"), self.take_over
        )  # fmt: skip
        right = QVBoxLayout()
        right.setContentsMargins(24, 0, 24, 16)
        right.setSpacing(8)
        right.addLayout(row_of(self.which, self.only_locked))
        right.addWidget(self._said)
        right.addWidget(self.list, 1)
        right.addLayout(row_of(self.mend_each, self.mend_one, self.as_lesson))
        holder = QWidget()
        across = QHBoxLayout(holder)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(left)
        across.addLayout(right, 1)
        return holder

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.show_deviations()


def _told(one: Deviation) -> str:
    point = POINTS[one.point]
    sentence = (
        english("{point}: {found}; has to be {wanted}")
        if one.binding is Binding.LOCKED
        else english("{point}: {found}; better {wanted}")
    )
    return say(
        sentence, point=capital(say(point.words)), found=say(point.told(one.found)), wanted=say(point.told(one.wanted))
    )  # fmt: skip
