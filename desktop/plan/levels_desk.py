"""What stands in the part with the levels: levels at the left, what they ask for in the middle, a form at the right."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.frame import panel_width
from desktop.part_row import PartRow
from desktop.plan.panel_parts import lines, row_of, side_panel
from desktop.plan.paper_view import PaperView
from desktop.words import english, say

LEFT_WIDTH = 304
ASKED, ORDER = english("What it asks for"), english("What comes first")


class LevelsDesk(QWidget):
    """Widgets only; ``buttons`` are the part's, by their names."""

    way_chosen = Signal(bool)
    """Whether the order of skills is looked at now."""

    def __init__(self, form: QWidget, buttons: dict[str, QWidget]) -> None:
        super().__init__()
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(self._left_side(buttons))
        across.addLayout(self._middle(buttons), 1)
        across.addWidget(side_panel(form, panel_width()))

    @property
    def picture_width(self) -> float:
        """The room for the picture, in pixels."""
        return float(self._area.viewport().width())

    def show_way(self, title: str) -> None:
        """Show what a level asks for, or what comes first."""
        self.way.mark(title)
        self.way_chosen.emit(title == ORDER)
        self._ways.setCurrentIndex(0 if title == ASKED else 1)

    def _left_side(self, buttons: dict[str, QWidget]) -> QWidget:
        side = QWidget()
        side.setObjectName("shelf")
        side.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        side.setFixedWidth(LEFT_WIDTH)
        self.title = QLineEdit()
        self.title.setAccessibleName(say("Title of the levels"))
        self.levels = lines(say("Levels"), say("Chosen with the arrows."))
        self.file = quiet_label("")
        self.file.setObjectName("quiet")
        self.file.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        column = QVBoxLayout(side)
        column.setContentsMargins(24, 0, 16, 16)
        column.setSpacing(8)
        column.addWidget(self.title)
        column.addWidget(self.levels, 1)
        column.addLayout(row_of(buttons["earlier"], buttons["later"]))
        for name in ("add", "take out"):
            column.addLayout(row_of(buttons[name]))
        column.addSpacing(8)
        column.addWidget(self.file)
        for name in ("new", "open"):
            column.addLayout(row_of(buttons[name]))
        return side

    def _middle(self, buttons: dict[str, QWidget]) -> QVBoxLayout:
        self.whom = QComboBox()
        self.whom.setAccessibleName(say("Measured"))
        self.whom.setMinimumWidth(200)
        self.whom.setMaxVisibleItems(20)
        label = quiet_label(say("Measured"))
        label.setBuddy(self.whom)
        self.way = PartRow([ASKED, ORDER], self.show_way)
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(label)
        head.addWidget(self.whom)
        head.addStretch(1)
        head.addWidget(self.way)
        self.asked = lines(say("What the level asks for"), say("Chosen with the arrows."))
        self.said = quiet_label("")
        self.said.setObjectName("groupCaption")
        self.needs = lines(say("What is met and what is missing"), say("Enter opens the drill in the lessons room."))
        asked = QWidget()
        below = QVBoxLayout(asked)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(8)
        below.addWidget(self.asked, 3)
        below.addLayout(row_of(buttons["ask for"], buttons["ask not"]))
        below.addWidget(self.said)
        below.addWidget(self.needs, 2)
        self.picture = PaperView("skill", say("What comes first"))
        self._area = QScrollArea()
        self._area.setWidget(self.picture)
        self._area.setFrameShape(QScrollArea.Shape.NoFrame)
        self._ways = QStackedWidget()
        self._ways.addWidget(asked)
        self._ways.addWidget(self._area)
        column = QVBoxLayout()
        column.setContentsMargins(24, 0, 24, 16)
        column.setSpacing(8)
        column.addLayout(head)
        column.addWidget(self._ways, 1)
        return column


def fill(rows: QListWidget, wanted: Sequence[str]) -> None:
    """Show these lines; those that are there already stay, and so does the chosen one."""
    while rows.count() > len(wanted):
        rows.takeItem(rows.count() - 1)
    for place, words in enumerate(wanted):
        if place == rows.count():
            rows.addItem(QListWidgetItem())
        rows.item(place).setText(words)
