"""The rooms of the window, one above the other, and the quiet row that goes from one to the other.

A room other than the first is made when it is first entered: what it needs is fetched beside the window's thread, so
that neither the start nor the step into it stands still. A room that nobody makes is not shown.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from threading import Thread

from PySide6.QtCore import QObject, Qt, QTimer, Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QStackedWidget, QToolButton, QWidget

from desktop.words import english, say

LESSONS, STUDENTS, TERMS = "lessons", "students", "terms"

TITLES = {LESSONS: english("Lessons"), STUDENTS: english("Students"), TERMS: english("Terms")}
"""What the rooms are called, in their order."""


class Rooms(QStackedWidget):
    """All rooms; ``row`` are the buttons that lead to them.

    ``makers`` gives for each further room the modules to fetch and what then makes its widget.
    """

    entered = Signal(str)
    """Another room is entered; its widget is there."""

    def __init__(self, first: QWidget, makers: Mapping[str, tuple[tuple[str, ...], Callable[[], QWidget]]]) -> None:
        super().__init__()
        self._makers = makers
        self._made: dict[str, QWidget] = {LESSONS: first}
        self._fetching: set[str] = set()
        self.current = self.wanted = LESSONS
        self.row = RoomRow([name for name in TITLES if name == LESSONS or name in makers])
        self.first = first
        self.addWidget(first)

    @property
    def names(self) -> tuple[str, ...]:
        """The rooms that can be entered."""
        return (LESSONS, *self._makers)

    def made(self, name: str) -> QWidget | None:
        """A room's widget; None while nobody has been in it."""
        return self._made.get(name)

    def go(self, name: str) -> None:
        """Enter a room, at once or as soon as what it needs is fetched."""
        self.wanted = name
        self.row.show_room(name)
        if name in self._made:
            self._enter(name)
        elif name not in self._fetching:
            self._fetching.add(name)
            fetching = Fetching(self, name, self._makers[name][0])
            fetching.done.connect(self._furnish)
            fetching.begin()

    def _furnish(self, name: str) -> None:
        self._fetching.discard(name)
        if name not in self._made:
            self._made[name] = self._makers[name][1]()
            self.addWidget(self._made[name])
        if name == self.wanted:
            self._enter(name)

    def _enter(self, name: str) -> None:
        self.setCurrentWidget(self._made[name])
        self.current = name
        self.entered.emit(name)


class Fetching(QObject):
    """Modules imported beside the window's thread."""

    done = Signal(str)

    def __init__(self, parent: QObject, name: str, modules: tuple[str, ...]) -> None:
        super().__init__(parent)
        self._name = name
        self._modules = modules

    def begin(self) -> None:
        """Begin; ``done`` tells when all are there."""
        thread = Thread(target=self._fetch, name=f"fetching {self._name}", daemon=True)
        # What the hand asked for is answered first.
        QTimer.singleShot(0, thread.start)

    def _fetch(self) -> None:
        for module in self._modules:
            importlib.import_module(module)
        self.done.emit(self._name)


class RoomRow(QWidget):
    """One button for each room, the one that is entered marked; nothing where there is but one room."""

    chosen = Signal(str)

    def __init__(self, names: list[str]) -> None:
        super().__init__()
        self._names = names
        self._group = QButtonGroup(self)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 2, 12, 2)
        row.setSpacing(2)
        for place, name in enumerate(names):
            button = QToolButton()
            title = say(TITLES[name])
            button.setText(title)
            button.setAccessibleName(say("Room: {title}", title=title))
            button.setToolTip(f"{title} (Ctrl+{list(TITLES).index(name) + 1})")
            button.setCheckable(True)
            button.setProperty("segment", True)
            button.setProperty("room", True)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self._group.addButton(button, place)
            row.addWidget(button)
        self._group.idClicked.connect(lambda place: self.chosen.emit(self._names[place]))
        self.show_room(LESSONS)
        self.setVisible(len(names) > 1)

    def button_of(self, name: str) -> QToolButton:
        """The button of a room."""
        button = self._group.button(self._names.index(name))
        assert isinstance(button, QToolButton)
        return button

    def show_room(self, name: str) -> None:
        """Mark this room."""
        self.button_of(name).setChecked(True)
