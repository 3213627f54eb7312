"""The students of the folder at the left of their room: choose, begin a new one, rename in place, remove."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QFrame,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
)

from desktop.forms.row import quiet_label
from desktop.frame import SHELF_WIDTH
from desktop.people.studio import Studio
from desktop.people.wording import day_words
from desktop.theme import enlarged, interface_font, tones_of
from desktop.words import say
from lessonkit.students.student import Student

_PATH, _SECOND = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1
_Index = QModelIndex | QPersistentModelIndex


class StudentList(QFrame):
    """Who there is. The list shows the studio and hands every wish to it."""

    told = Signal(str)
    """Why a wish cannot be."""

    folder_asked = Signal()
    """Another folder is wanted."""

    print_asked = Signal()
    """The open lesson is to be printed for students."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._is_showing = False
        self.setObjectName("shelf")
        self.setFixedWidth(SHELF_WIDTH)
        self.list = QListWidget()
        self.list.setObjectName("shelfList")
        self.list.setAccessibleName(say("Students"))
        self.list.setItemDelegate(_TwoLines(self.list))
        self.list.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setUniformItemSizes(True)
        self.list.currentItemChanged.connect(self._choose)
        self.list.itemChanged.connect(self._rename)
        self._empty = quiet_label(say("No students yet. Begin one with New, or open the folder that holds them."))
        self._empty.setObjectName("quiet")
        self._empty.setWordWrap(True)
        self._empty.setContentsMargins(16, 8, 16, 8)
        self.new = QPushButton(say("New"))
        self.new.setAccessibleName(say("New student"))
        self.new.clicked.connect(self.begin_new)
        self.folder = QPushButton(say("Folder …"))
        self.folder.setAccessibleName(say("Open another folder of students"))
        self.folder.clicked.connect(self.folder_asked)
        self.print = QPushButton(say("Print the open lesson for …"))
        self.print.clicked.connect(self.print_asked)
        self._where = quiet_label("")
        self._where.setObjectName("quiet")
        buttons = QHBoxLayout()
        buttons.setContentsMargins(16, 8, 16, 8)
        buttons.setSpacing(8)
        buttons.addWidget(self.new, 1)
        buttons.addWidget(self.folder, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 8, 1, 8)
        layout.setSpacing(0)
        layout.addLayout(buttons)
        layout.addWidget(self._empty)
        layout.addWidget(self.list, 1)
        printing = QHBoxLayout()
        printing.setContentsMargins(16, 8, 16, 0)
        printing.addWidget(self.print)
        layout.addLayout(printing)
        where = QHBoxLayout()
        where.setContentsMargins(16, 4, 16, 0)
        where.addWidget(self._where)
        layout.addLayout(where)
        studio.changed.connect(self.show_students)
        studio.chosen.connect(self.show_students)
        self.show_students()

    def show_students(self) -> None:
        """Show who there is now."""
        self._is_showing = True
        students = list(self._studio.students.items())
        while self.list.count() > len(students):
            self.list.takeItem(self.list.count() - 1)
        for place, (path, student) in enumerate(students):
            if place == self.list.count():
                item = QListWidgetItem()
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                self.list.addItem(item)
            item = self.list.item(place)
            item.setText(student.code)
            item.setData(_PATH, path)
            item.setData(_SECOND, _second_line(student))
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, _second_line(student))
            if path == self._studio.current:
                self.list.setCurrentRow(place)
        self.print.setEnabled(bool(students))
        self._empty.setVisible(self._studio.is_read and not students)
        folder = self._studio.folder
        self._where.setText(self._where.fontMetrics().elidedText(folder.name, Qt.TextElideMode.ElideMiddle, 196))
        self._where.setToolTip(str(folder))
        self._is_showing = False

    def begin_new(self) -> None:
        """A new student, whose code is typed at once."""
        self._studio.add()
        self.begin_rename()

    def begin_rename(self) -> None:
        """Type another code for the chosen student."""
        item = self.list.currentItem()
        if item is not None:
            self.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
            self.list.editItem(item)

    def remove(self) -> None:
        """Take the chosen student out; Undo brings them back."""
        if self._studio.current is not None:
            self._studio.remove(self._studio.current)

    def _choose(self, item: QListWidgetItem | None) -> None:
        if not self._is_showing and item is not None:
            self._studio.choose(item.data(_PATH))

    def _rename(self, item: QListWidgetItem) -> None:
        if self._is_showing:
            return
        path: Path = item.data(_PATH)
        try:
            self._studio.rename(path, item.text())
        except ValueError as error:
            self.told.emit(say("The student keeps the code: {error}.", error=error))
        self.show_students()


class _TwoLines(QStyledItemDelegate):
    """The code, and below it in a quiet line how things stand; the chosen one has a bar of the accent."""

    # Qt overrides

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        tones = tones_of(application)
        view = self.parent()
        assert isinstance(view, QListWidget)
        area: QRect = option.rect
        is_chosen = view.currentIndex().row() == index.row()
        painter.save()
        if is_chosen:
            painter.fillRect(area, QColor(tones.hover))
            painter.fillRect(QRect(area.left(), area.top(), 3, area.height()), QColor(tones.accent))
        inside = area.adjusted(16, 6, -8, -6)
        painter.setFont(interface_font(10.5, is_bold=is_chosen))
        painter.setPen(QColor(tones.ink))
        painter.drawText(inside, int(Qt.AlignmentFlag.AlignTop), str(index.data()))
        painter.setFont(interface_font(9.5))
        painter.setPen(QColor(tones.muted))
        painter.drawText(inside, int(Qt.AlignmentFlag.AlignBottom), str(index.data(_SECOND)))
        painter.restore()

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        return QSize(120, round(48 * enlarged()))

    def updateEditorGeometry(self, editor: object, option: QStyleOptionViewItem, index: _Index) -> None:
        from PySide6.QtWidgets import QWidget

        assert isinstance(editor, QWidget)
        editor.setGeometry(option.rect.adjusted(8, 8, -8, -8))


def _second_line(student: Student) -> str:
    if student.handout_typed:
        return say("a record is being typed")
    if not student.handouts:
        return say("no handout yet")
    return say("last handout {day_words}", day_words=day_words(max(handout.day for handout in student.handouts)))
