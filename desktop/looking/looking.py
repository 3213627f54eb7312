"""Find words and go to places: the bar above the pages and the outline over them, each made when it is first wanted."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from desktop.editing.writing import Writing
from desktop.open_lesson import OpenLesson
from desktop.preview.pages_view import PagesView
from desktop.selection import Selection
from lessonkit.pages.page import AIMS_PLACE, TITLE_PLACE

if TYPE_CHECKING:
    from desktop.looking.find_bar import FindBar
    from desktop.looking.go_to import GoTo, OutlinePlace
    from desktop.looking.steps_list import StepsList
    from lessonkit.lesson.finding import FoundWords


class Looking(QObject):
    """Opens the bar and the outline and shows what they find."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, view: PagesView, writing: Writing) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._selection = selection
        self._view = view
        self._writing = writing
        self.place = QWidget()
        """Where the bar comes to stand; empty until then."""
        self._layout = QVBoxLayout(self.place)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self.place.hide()
        self.bar: FindBar | None = None
        self.outline: GoTo | None = None
        self.steps_list: StepsList | None = None

    def find(self) -> None:
        """Ask for words to find."""
        if self.bar is None:
            from desktop.looking.find_bar import FindBar

            self.bar = FindBar(self._open_lesson)
            self.bar.went.connect(self._show)
            self.bar.left.connect(self._write)
            self._layout.addWidget(self.bar)
        self.place.show()
        self.bar.open()

    def go_to(self) -> None:
        """Ask for a place to go to."""
        from desktop.looking.go_to import GoTo, outline_of

        if self.outline is None:
            self.outline = GoTo(self._view.viewport())
            self.outline.chosen.connect(self._go)
            self.outline.closed.connect(self._view.setFocus)
        self._writing.end()
        layout = self._view.page_layout
        outline = outline_of(self._open_lesson.lesson, layout)
        self.outline.open(outline, len(layout.pages), self._view.page_number, self._view.viewport().rect())

    def steps(self) -> None:
        """Show every step since the lesson was opened."""
        from desktop.looking.steps_list import StepsList

        if self.steps_list is None:
            self.steps_list = StepsList(self._view.viewport(), self._open_lesson)
            self.steps_list.closed.connect(self._view.setFocus)
        self._writing.end()
        self.steps_list.open(self._view.viewport().rect())

    def _show(self, found: FoundWords) -> None:
        if found.place in (TITLE_PLACE, AIMS_PLACE):
            self._selection.clear()
            self._view.show_page(1)
        else:
            self._selection.select(found.place)

    def _write(self, found: FoundWords | None) -> None:
        """Write where the words are, with them selected."""
        self.place.hide()
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        if found is not None:
            self._writing.begin(found.place)
            self._writing.set_caret(found.start, found.end)

    def _go(self, place: OutlinePlace) -> None:
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)
        if place.block_id:
            self._selection.select(place.block_id)
            self._view.show_at_top(place.block_id)
        else:
            self._view.show_page(place.page)
