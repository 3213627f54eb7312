"""What the forms at the right of the terms room are made of: a title, captions, words above a field, reasons."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QScrollArea,
    QSpinBox,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label


class PlanForm(QWidget):
    """Fields below each other."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self.setObjectName("form")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(24, 16, 24, 16)
        self._layout.setSpacing(4)
        self.title = quiet_label(title)
        self.title.setObjectName("panelTitle")
        self.title.setWordWrap(True)
        self._layout.addWidget(self.title)

    def caption(self, words: str) -> QLabel:
        """A caption above what follows."""
        label = quiet_label(words)
        label.setObjectName("groupCaption")
        self._layout.addSpacing(16)
        self._layout.addWidget(label)
        return label

    def field(self, words: str, editor: QWidget) -> None:
        """A field below its words."""
        label = quiet_label(words)
        label.setObjectName("rowLabel")
        label.setBuddy(editor)
        self._layout.addSpacing(8)
        self._layout.addWidget(label)
        self._layout.addWidget(editor)

    def line(self, *widgets: QWidget) -> None:
        """Small things beside each other."""
        row = QHBoxLayout()
        row.setSpacing(8)
        for widget in widgets:
            row.addWidget(widget)
        row.addStretch(1)
        self._layout.addSpacing(4)
        self._layout.addLayout(row)

    def add(self, widget: QWidget) -> None:
        """Something over the whole width."""
        self._layout.addWidget(widget)

    def quiet(self, words: str = "") -> QLabel:
        """A quiet sentence."""
        label = quiet_label(words)
        label.setObjectName("quiet")
        label.setWordWrap(True)
        self._layout.addWidget(label)
        return label

    def end(self) -> None:
        """Nothing comes below."""
        self._layout.addStretch(1)


def button(words: str, name: str, call: Callable[[], object]) -> QPushButton:
    """A button with a name of its own for who cannot see it."""
    made = QPushButton(words)
    made.setAccessibleName(name)
    made.setAutoDefault(False)
    made.clicked.connect(lambda: call())
    return made


def number_box(name: str, least: int, most: int) -> QSpinBox:
    """A field for a whole number."""
    made = QSpinBox()
    made.setAccessibleName(name)
    made.setRange(least, most)
    # The style sheet's padding does not reach the words of a spin box.
    made.lineEdit().setTextMargins(6, 0, 0, 0)
    return made


def lines(name: str, description: str) -> QListWidget:
    """A list of lines that break where they are long."""
    made = QListWidget()
    made.setObjectName("lines")
    made.setAccessibleName(name)
    made.setAccessibleDescription(description)
    made.setWordWrap(True)
    made.setResizeMode(QListWidget.ResizeMode.Adjust)
    made.setTextElideMode(Qt.TextElideMode.ElideNone)
    made.setItemDelegate(_Roomy(made))
    made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    return made


class _Roomy(QStyledItemDelegate):
    """Signs of another face make a line a little higher than Qt reckons, which would cut the last one."""

    # Qt overrides

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return super().sizeHint(option, index) + QSize(0, 6)


def row_of(*widgets: QWidget) -> QHBoxLayout:
    """Small things beside each other."""
    row = QHBoxLayout()
    row.setSpacing(8)
    for widget in widgets:
        row.addWidget(widget)
    row.addStretch(1)
    return row


def scrolled(widget: QWidget) -> QScrollArea:
    """Something that may be higher than its place."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(widget)
    return area


def side_panel(widget: QWidget, width: int) -> QWidget:
    """What stands at the right of a part, scrolled."""
    panel = QWidget()
    panel.setObjectName("sidePanel")
    panel.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    panel.setFixedWidth(width)
    inner = QVBoxLayout(panel)
    inner.setContentsMargins(1, 0, 0, 0)
    inner.addWidget(scrolled(widget))
    return panel


def empty_part(words: str, *buttons: QWidget) -> QWidget:
    """What a part shows while there is nothing to show: a sentence, and what can be done."""
    holder = QWidget()
    label = quiet_label(words)
    label.setObjectName("quiet")
    row = row_of(*buttons)
    row.insertStretch(0, 1)
    column = QVBoxLayout(holder)
    column.setSpacing(16)
    column.addStretch(2)
    column.addWidget(label, 0, Qt.AlignmentFlag.AlignHCenter)
    column.addLayout(row)
    column.addStretch(3)
    return holder


def into(pane: QWidget) -> None:
    """Go to a pane, or to the first thing in it that takes the keys."""
    inside = [one for one in pane.findChildren(QWidget) if one.isVisible() and one.isEnabled()]
    for one in (pane, *inside):
        if one.focusPolicy() & Qt.FocusPolicy.TabFocus:
            one.setFocus(Qt.FocusReason.OtherFocusReason)
            return


def clear_layout(layout: QVBoxLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
