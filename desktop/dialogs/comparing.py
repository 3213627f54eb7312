"""Two lessons compared: a window with a sentence for each difference, which leads to the block it is about."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.words import say
from lessonkit.lesson.comparing import Difference


class Comparison(QDialog):
    """Stays open beside the work; a click goes to the block where the open lesson has it."""

    chosen = Signal(str)

    def __init__(self, parent: QWidget, first: str, second: str, found: tuple[Difference, ...]) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Two lessons compared"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(640, 480)
        told = say("First: {first}\nSecond: {second}", first=first, second=second)
        head = quiet_label(told)
        head.setWordWrap(True)
        self.list = QListWidget()
        self.list.setObjectName("goToList")
        self.list.setAccessibleName(say("Differences"))
        self.list.setWordWrap(True)
        for one in found:
            item = QListWidgetItem(say(one.sentence), self.list)
            item.setData(Qt.ItemDataRole.UserRole, one.block_id)
        if not found:
            QListWidgetItem(say("The two lessons say the same."), self.list)
        self.list.itemClicked.connect(self._choose)
        self.list.itemActivated.connect(self._choose)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.close)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(8)
        layout.addWidget(head)
        layout.addWidget(self.list, 1)
        layout.addWidget(buttons)

    def _choose(self, item: QListWidgetItem) -> None:
        block_id = item.data(Qt.ItemDataRole.UserRole)
        if block_id:
            self.chosen.emit(block_id)
