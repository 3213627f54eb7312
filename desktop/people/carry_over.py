"""What an improved original would bring to a student's lesson: a line for each point, with a tick to accept it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.forms.wording import capital
from desktop.theme import interface_font
from desktop.words import say
from lessonkit.students.carrying_over import CarriedOver
from lessonkit.students.merging import Point

_POINT = Qt.ItemDataRole.UserRole


class CarryOver(QDialog):
    """Points in three groups. Those that only the original changed are ticked, those of both sides are not."""

    pointed = Signal(str)
    """The hand points at what is said of this block."""

    def __init__(self, parent: QWidget, original: str, code: str, found: CarriedOver) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("What comes over for {code}", code=code))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(680, 520)
        said = quiet_label(
            say(
                "“{original}” was improved after this lesson was made from it. Tick what is to come over. "
                "Everything else stays as it is for {code}; Undo takes all of it back.",
                original=original,
                code=code,
            )
        )
        said.setWordWrap(True)
        self.list = QListWidget()
        self.list.setObjectName("points")
        self.list.setAccessibleName(say("What may come over"))
        self.list.setWordWrap(True)
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        plain = [point for point in found.points if not point.is_conflict]
        self._add(say("From the improved original"), [point for point in plain if point.key not in found.of_student])
        self._add(
            say("Since {code} stands otherwise now", code=code),
            [point for point in plain if point.key in found.of_student],
        )
        self._add(
            say("Changed in the original and here: ticked, the original's comes in the place of yours"),
            [point for point in found.points if point.is_conflict],
        )
        self.list.currentItemChanged.connect(self._point)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.carry = self.buttons.addButton(say("Carry over"), QDialogButtonBox.ButtonRole.AcceptRole)
        self.carry.setDefault(True)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 24, 24, 16)
        layout.setSpacing(12)
        layout.addWidget(said)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.buttons)
        first = next((item for item in self._items() if item.data(_POINT) is not None), None)
        if first is not None:
            self.list.setCurrentItem(first)
        self.list.setFocus()

    @property
    def decisions(self) -> dict[str, bool]:
        """Which points are accepted, by their keys."""
        return {
            item.data(_POINT).key: item.checkState() is Qt.CheckState.Checked
            for item in self._items()
            if item.data(_POINT) is not None
        }

    def item_of(self, key: str) -> QListWidgetItem:
        """The line of a point."""
        return next(item for item in self._items() if item.data(_POINT) is not None and item.data(_POINT).key == key)

    def _items(self) -> list[QListWidgetItem]:
        return [self.list.item(place) for place in range(self.list.count())]

    def _add(self, title: str, points: Sequence[Point]) -> None:
        if not points:
            return
        head = QListWidgetItem(title, self.list)
        head.setFlags(Qt.ItemFlag.NoItemFlags | Qt.ItemFlag.ItemIsEnabled)
        head.setFont(interface_font(10.5, is_bold=True))
        for point in points:
            sentence = capital(say(point.sentence))
            item = QListWidgetItem(sentence, self.list)
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if point.is_accepted else Qt.CheckState.Unchecked)
            item.setData(_POINT, point)

    def _point(self, item: QListWidgetItem | None) -> None:
        point = None if item is None else item.data(_POINT)
        if point is not None and point.block_id:
            self.pointed.emit(point.block_id)
