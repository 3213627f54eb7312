"""The door to the help: opens it on what is selected, on its list or on the news, and does what is chosen from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from lessonkit.lesson.change import Change
from lessonkit.lesson.lesson import Aid, DifficultyMap, Drill

if TYPE_CHECKING:
    from desktop.helping.help_part import HelpPart
    from lessonkit.drills.declared import Declared

OTHER_ROOMS = ("desktop.people.people_menus", "desktop.plan.plan_menus")
"""The modules with the tables of the other rooms, fetched when their actions are first listed."""


class Helping(QObject):
    """Makes the help when it is first wanted. ``act`` does an action by its name."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, act: Callable[[str], object]) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._act = act
        self.part: HelpPart | None = None
        self.place = QWidget()
        """Where the help comes to stand; empty until then."""
        layout = QVBoxLayout(self.place)
        layout.setContentsMargins(0, 0, 0, 0)
        self.place.hide()
        self.folded: Callable[[bool], object] = lambda is_folded: None
        """Told when the help comes and goes, so that something else can make room for it."""

    def explain(self) -> None:
        """Explain what is selected: the kind of drill or aid that it is; without one, list what there is."""
        kind = self._kind()
        part = self._open()
        if kind is None:
            part.show_list()
        else:
            part.show_kind(kind)

    def list_actions(self) -> None:
        """List all actions and their keys."""
        self._open().show_list()

    def tell_news(self) -> None:
        """Tell what is new."""
        self._open().show_news()

    def _kind(self) -> type[Declared] | None:
        block = self._selection.only
        match block:
            case Drill():
                return type(block.family)
            case Aid():
                return type(block.shows)
            case DifficultyMap():
                return type(block.map)
        return None

    def _open(self) -> HelpPart:
        if self.part is None:
            self.part = self._made()
        self.part.show()
        self.place.show()
        self.folded(False)
        return self.part

    def _made(self) -> HelpPart:
        from desktop.actions import MENUS
        from desktop.helping.help_part import HelpPart
        from desktop.helping.listed_actions import listed_actions
        from desktop.rooms import Fetching

        part = HelpPart(self._open_lesson)
        part.closed.connect(self._close)
        part.action_asked.connect(self._act)
        part.list_also(listed_actions(MENUS))
        layout = self.place.layout()
        assert layout is not None
        layout.addWidget(part)
        self._open_lesson.changed.connect(self._follow)
        self._open_lesson.replaced.connect(part.follow)
        fetching = Fetching(self, "help", OTHER_ROOMS)
        fetching.done.connect(self._list_other_rooms)
        fetching.begin()
        return part

    def _list_other_rooms(self) -> None:
        from desktop.helping.listed_actions import listed_actions
        from desktop.people.people_menus import MENUS as OF_STUDENTS
        from desktop.plan.plan_menus import MENUS as OF_TERMS
        from desktop.rooms import STUDENTS, TERMS, TITLES
        from desktop.words import say

        if self.part is not None:
            self.part.list_also(listed_actions(OF_STUDENTS, say(TITLES[STUDENTS])))
            self.part.list_also(listed_actions(OF_TERMS, say(TITLES[TERMS])))

    def _follow(self, change: Change) -> None:
        if change.is_setting_changed and self.part is not None:
            self.part.follow()

    def _close(self) -> None:
        self.place.hide()
        self.folded(True)
