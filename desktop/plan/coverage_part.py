"""What the term covers: the grid, its choosers, and what is behind the chosen cell. Counted beside the window."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.plan.axes import ACROSS, DOWN, TITLES, cell_words, full_words, short_words, values_along
from desktop.plan.counting import Counting
from desktop.plan.grid_view import GridView
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.places_panel import PlacesPanel
from desktop.plan.shelf_counting import ShelfCounting
from desktop.words import say, within
from lessonkit.curriculum.coverage import Coverage, Place
from lessonkit.curriculum.proposals import Proposal
from lessonkit.curriculum.seen import Axis, Cell
from lessonkit.lesson.lesson import Lesson


class CoveragePart(QWidget):
    """The part."""

    shown = Signal(Path, str)
    """A drill is to be shown in the lessons room: the lesson's file and the drill's id."""

    put_in = Signal(Path, str, object)
    """A drill is wanted in a lesson: its file, the label of the edit, and the edit."""

    def __init__(self, counting: Counting, shelf: ShelfCounting, beside: LessonsBeside) -> None:
        super().__init__()
        self._counting = counting
        self._shelf = shelf
        self._beside = beside
        self._shown: tuple[Coverage, Axis, Axis] | None = None
        self.down = _chooser(say("Rows"), DOWN)
        self.across = _chooser(say("Columns"), ACROSS)
        self.which = QComboBox()
        self.which.setAccessibleName(say("Which lessons"))
        self.which.addItems([say("Lessons of the term"), say("All lessons of the folder")])
        self.which.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.which.activated.connect(self._choose_lessons)
        self.grid = GridView()
        self.places = PlacesPanel()
        self._gaps = quiet_label("")
        self._gaps.setObjectName("quiet")
        row = QHBoxLayout()
        row.setContentsMargins(24, 0, 24, 8)
        row.setSpacing(8)
        for words, chooser in ((say("Rows"), self.down), (say("Columns"), self.across)):
            label = quiet_label(words)
            label.setBuddy(chooser)
            row.addWidget(label)
            row.addWidget(chooser)
            chooser.activated.connect(self.show_coverage)
        row.addWidget(self.which)
        row.addSpacing(8)
        row.addWidget(self._gaps)
        row.addStretch(1)
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addLayout(row)
        inner = QHBoxLayout()
        inner.setContentsMargins(16, 0, 0, 0)
        inner.addWidget(self.grid)
        left.addLayout(inner, 1)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addLayout(left, 1)
        across.addWidget(self.places)
        counting.covered.connect(self.show_coverage)
        shelf.counted.connect(self.show_coverage)
        counting.progressed.connect(self._show_progress)
        self.grid.cell_chosen.connect(self._show_cell)
        self.grid.activated.connect(self.places.list.setFocus)
        self.places.opened.connect(self._open)
        self.places.fill_asked.connect(self._propose)
        self.places.put_in_asked.connect(self._put_in)

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.down, self.grid, self.places.fill, self.places.list

    @property
    def axes(self) -> tuple[Axis, Axis]:
        """What stands in the rows and what above the columns."""
        return DOWN[self.down.currentIndex()], ACROSS[self.across.currentIndex()]

    @property
    def coverage(self) -> Coverage:
        """What is looked at: the term, or the whole folder."""
        return self._shelf.coverage if self.which.currentIndex() else self._counting.coverage

    def close_run(self) -> None:
        """The window goes."""
        self._shelf.close()

    def show_coverage(self) -> None:
        """Show what is counted, if somebody sees it."""
        if not self.isVisible():
            return
        rows, columns = self.axes
        coverage = self.coverage
        if self._shown is not None and self._shown[0] is coverage and self._shown[1:] == (rows, columns):
            return
        self._shown = (coverage, rows, columns)
        down, across = values_along(coverage, rows), values_along(coverage, columns)
        counts = coverage.counts(rows, columns)
        self.grid.show_counts(
            down, across, counts, full_words(rows, down), short_words(columns, across), full_words(columns, across)
        )
        gaps = sum(not counts.get((one, other)) for one in down for other in across)
        self._gaps.setText(
            say("{n} cells with drills, {gaps} gaps", n=len(down) * len(across) - gaps, gaps=gaps)
            if down
            else say("No drills yet")
        )

    def _choose_lessons(self) -> None:
        is_whole = self.which.currentIndex() == 1
        if is_whole and not self.coverage.lessons:
            self._gaps.setText(say("Counting the lessons of the folder …"))
        self._shelf.want(is_whole, self.axes)
        if not is_whole or self.coverage.lessons:
            self.show_coverage()

    def _show_progress(self, done: int, total: int) -> None:
        if self.which.currentIndex():
            return
        if done < total:
            self._gaps.setText(say("Counting lesson {done} of {total} …", done=done, total=total))
        elif self._shown is not None:
            self._shown = None

    def _show_cell(self, cell: Cell | None) -> None:
        rows, columns = self.axes
        if cell is None:
            self.places.show_cell("", (), {})
        else:
            found = self.coverage.places(rows, columns, cell)
            self.places.show_cell(cell_words(rows, columns, cell), found, self._beside.lessons)

    def _open(self, place: Place) -> None:
        path = self._beside.path_of(place.lesson)
        if path is not None:
            self.shown.emit(path, place.block_id)

    def _propose(self) -> None:
        cell = self.grid.cell
        if cell is not None:
            self.places.show_waiting()
            self._counting.propose(*self.axes, cell, lambda found: self._show_proposal(cell, found))

    def _show_proposal(self, cell: Cell, proposal: Proposal | None) -> None:
        if cell == self.grid.cell:
            self.places.show_proposal(proposal, self._beside.lessons)

    def _put_in(self, proposal: Proposal) -> None:
        path = self._beside.path_of(proposal.lesson)
        if path is not None:
            edit: Callable[[Lesson], Lesson] = proposal.applied
            self.put_in.emit(path, say("Insert {what}", what=within(say(proposal.drill.title))), edit)

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        # In a moment of its own, so that the part itself is there first.
        QTimer.singleShot(0, self, self.show_coverage)


def _chooser(name: str, axes: Sequence[Axis]) -> QComboBox:
    chooser = QComboBox()
    chooser.setAccessibleName(name)
    for axis in axes:
        chooser.addItem(say(TITLES[axis]))
    chooser.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return chooser
