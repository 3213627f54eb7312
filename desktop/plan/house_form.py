"""The house style point by point: how much it holds, and what is wanted."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from desktop.forms.editor import Editor
from desktop.forms.row import quiet_label
from desktop.plan.house_pieces import PIECES, Piece
from desktop.plan.open_house import OpenHouse
from desktop.plan.panel_parts import PlanForm
from desktop.words import english, say
from lessonkit.curriculum.house import Binding, HouseStyle
from lessonkit.lesson.lesson import clean_line

HOLDS = (
    (english("Locked"), Binding.LOCKED),
    (english("Advised"), Binding.ADVISED),
    (english("Free"), Binding.FREE),
)
"""How much a point holds, in words."""


class HouseForm(PlanForm):
    """Shows the open house style."""

    def __init__(self, house: OpenHouse) -> None:
        super().__init__("")
        self._house = house
        self.title.hide()
        self.name = QLineEdit()
        self.name.setAccessibleName(say("Name of the house style"))
        self.name.textEdited.connect(self._rename)
        self.field(say("Name of the house style"), self.name)
        self.points = {name: PointRow(say(words), pieces) for name, (words, pieces) in PIECES.items()}
        for name, row in self.points.items():
            row.holds.activated.connect(lambda place, point=name: self._bind(point, HOLDS[place][1]))
            row.edited.connect(self._set)
            self.add(row)
        self.end()

    def show_style(self) -> None:
        """Show the style as it is now; a field with the focus keeps what is typed."""
        style = self._house.style
        if clean_line(self.name.text()) != style.name:
            self.name.setText(style.name)
        for name, row in self.points.items():
            row.show_point(style, name)

    def _rename(self, name: str) -> None:
        self._house.attempt(
            say("Name of the house style"), lambda style: replace(style, name=clean_line(name)), "house name"
        )  # fmt: skip

    def _bind(self, point: str, binding: Binding) -> None:
        self._house.attempt(say("How much a point holds"), lambda style: style.bound(point, binding))

    def _set(self, row: PointRow, piece: Piece, value: Any) -> None:
        def changed(style: HouseStyle) -> HouseStyle:
            return replace(style, model=piece.to(style.model, value))

        row.show_reason(self._house.attempt(row.words.text(), changed, f"house {row.words.text()} {piece.words}"))


class PointRow(QWidget):
    """One point: its words, how much it holds, its editors below."""

    edited = Signal(object, object, object)
    """Another value is wanted: this row, the piece, the value."""

    def __init__(self, words: str, pieces: tuple[Piece, ...]) -> None:
        super().__init__()
        self.editors: list[tuple[Piece, Editor]] = []
        self.words = quiet_label(words)
        self.words.setObjectName("groupCaption")
        self.words.setWordWrap(True)
        self.holds = QComboBox()
        self.holds.setAccessibleName(say("{point}: how much it holds", point=words))
        self.holds.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for text, _ in HOLDS:
            self.holds.addItem(say(text))
        head = QHBoxLayout()
        head.setSpacing(8)
        head.addWidget(self.words, 1)
        head.addWidget(self.holds)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 16, 0, 0)
        column.setSpacing(4)
        column.addLayout(head)
        for piece in pieces:
            editor = piece.make()
            editor.focus.setAccessibleName(say(piece.words) if piece.words else words)
            editor.edited.connect(lambda value, one=piece: self.edited.emit(self, one, value))
            editor.refused.connect(self.show_reason)
            self.editors.append((piece, editor))
            column.addLayout(_line(say(piece.words) if piece.words else "", editor))
        self.reason = quiet_label("")
        self.reason.setObjectName("reason")
        self.reason.setWordWrap(True)
        self.reason.hide()
        column.addWidget(self.reason)

    def show_point(self, style: HouseStyle, name: str) -> None:
        """Show what is wanted and how much it holds."""
        self.holds.setCurrentIndex([binding for _, binding in HOLDS].index(style.binding(name)))
        for piece, editor in self.editors:
            editor.show_value(piece.of(style.model), style.model.setting)

    def show_reason(self, reason: str) -> None:
        """Say why what was given cannot be; nothing where it can."""
        self.reason.setText(f"{reason[:1].upper()}{reason[1:].rstrip('.')}." if reason else "")
        self.reason.setVisible(bool(reason))


def _line(words: str, editor: Editor) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(8)
    if words:
        label = QLabel(words)
        label.setObjectName("rowLabel")
        label.setWordWrap(True)
        label.setFixedWidth(160)
        label.setBuddy(editor.focus)
        row.addWidget(label)
    row.addWidget(editor, 1)
    return row
