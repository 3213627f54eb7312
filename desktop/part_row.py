"""The quiet row of buttons with which a room goes from one of its parts to another."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QSizePolicy, QToolButton, QWidget

from desktop.words import say


class PartRow(QWidget):
    """One button for each part, by its title; the one that is shown is marked."""

    def __init__(self, titles: Sequence[str], show: Callable[[str], None]) -> None:
        super().__init__()
        self._titles = tuple(titles)
        self._group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(2)
        for place, title in enumerate(self._titles):
            button = QToolButton()
            button.setText(say(title))
            button.setAccessibleName(say("Show: {title}", title=say(title)))
            button.setCheckable(True)
            button.setProperty("segment", True)
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            self._group.addButton(button, place)
            row.addWidget(button)
        self._group.button(0).setChecked(True)
        self._group.idClicked.connect(lambda place: show(self._titles[place]))

    @property
    def title(self) -> str:
        """The title of the part that is marked."""
        return self._titles[self._group.checkedId()]

    def mark(self, title: str) -> None:
        """Mark the part that is shown."""
        self._group.button(self._titles.index(title)).setChecked(True)
