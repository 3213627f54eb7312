"""The weeks of the term: the shelf at the left, the weeks in the middle, what is chosen at the right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cached_property
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QScrollArea, QStackedWidget, QVBoxLayout, QWidget

from desktop.frame import panel_width
from desktop.plan.counting import Counting
from desktop.plan.lesson_shelf import LessonShelf
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import button
from desktop.plan.placement_form import PlacementForm
from desktop.plan.plan_commands import PlanCommands
from desktop.plan.shelf_orders import Order, Wish
from desktop.plan.term_form import TermForm
from desktop.plan.week_form import WeekForm
from desktop.plan.week_rows import Kind, rows_of
from desktop.plan.weeks_view import WeeksView
from desktop.words import say


class WeeksPart(QWidget):
    """The part. It shows the open term and hands every wish to the commands."""

    open_asked = Signal(str)
    """The placed lesson of an id is to be opened."""

    row_chosen = Signal()
    """Another row is chosen."""

    def __init__(
        self,
        open_term: OpenTerm,
        beside: LessonsBeside,
        counting: Counting,
        student_folders: Callable[[], Sequence[Path]] = tuple,
    ) -> None:
        super().__init__()
        self._open_term = open_term
        self._beside = beside
        self._counting = counting
        self._student_folders = student_folders
        self._wish = Wish()
        self.shelf = LessonShelf()
        self.view = WeeksView()
        self.commands = PlanCommands(
            open_term, beside, lambda: self.view.row, self.view.choose, lambda sentence: open_term.told.emit(sentence)
        )
        self._forms = QStackedWidget()
        self._areas = {kind: _area() for kind in _FORMS}
        for area in self._areas.values():
            self._forms.addWidget(area)
        self.show_term_form = button(say("The term"), say("Show the settings of the whole term"), self._show_term_form)
        self.insert = button(say("Insert week"), say("Insert a week behind the chosen one"), self.commands.insert_week)
        self.earlier = button(say("Earlier"), say("Move the chosen week or lesson earlier"), self.commands.move_up)
        self.later = button(say("Later"), say("Move the chosen week or lesson later"), self.commands.move_down)
        self.take_out = button(
            say("Remove"), say("Take the chosen week, lesson or holiday out of the term"), self.commands.remove
        )
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        row = QHBoxLayout()
        row.setContentsMargins(24, 0, 24, 8)
        row.setSpacing(8)
        for one in (self.show_term_form, self.insert, self.earlier, self.later, self.take_out):
            row.addWidget(one)
        row.addStretch(1)
        middle.addLayout(row)
        middle.addWidget(self.view, 1)
        panel = QWidget()
        panel.setObjectName("sidePanel")
        panel.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        panel.setFixedWidth(panel_width())
        inner = QVBoxLayout(panel)
        inner.setContentsMargins(1, 0, 0, 0)
        inner.addWidget(self._forms)
        across = QHBoxLayout(self)
        across.setContentsMargins(0, 0, 0, 0)
        across.setSpacing(0)
        across.addWidget(self.shelf)
        across.addLayout(middle, 1)
        across.addWidget(panel)
        self.shelf.placed.connect(self.commands.place)
        self.shelf.searched.connect(self._search)
        self.shelf.order_asked.connect(self._rank)
        beside.changed.connect(lambda: self._rank(self._wish))
        self.shelf.carried.connect(self.view.carry_over)
        self.shelf.dropped.connect(self.view.drop_from_shelf)
        self.shelf.given_up.connect(self.view.forget_line)
        self.view.lesson_dropped.connect(self.commands.place_at)
        self.view.lesson_carried.connect(self.commands.carry_lesson)
        self.view.week_carried.connect(self.commands.carry_week)
        self.view.open_asked.connect(self.open_asked)
        self.view.chosen.connect(self._show_chosen)
        open_term.changed.connect(self.show_term)
        open_term.opened.connect(self._show_another)
        beside.changed.connect(self.show_term)
        counting.was_judged.connect(self.show_term)
        self.show_term()

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.shelf.search, self.view, self._forms

    @cached_property
    def term_form(self) -> TermForm:
        """The form of the whole term, made when it is first shown, as the others are."""
        form = TermForm(self._open_term)
        self._areas[None].setWidget(form)
        form.show_term(self._open_term.term)
        form.show_problems(self._counting.judged.problems)
        return form

    @cached_property
    def week_form(self) -> WeekForm:
        """The form of a week."""
        form = WeekForm(self._open_term)
        self._areas[Kind.WEEK].setWidget(form)
        return form

    @cached_property
    def placement_form(self) -> PlacementForm:
        """The form of a lesson in its week."""
        form = PlacementForm(self._open_term, self._beside)
        form.open_asked.connect(self.open_asked)
        self._areas[Kind.LESSON].setWidget(form)
        return form

    def show_term(self) -> None:
        """Show the term as it is now."""
        term, lessons = self._open_term.term, self._beside.lessons
        improved = {one.placement_id for one in self._counting.judged.improved}
        weeks: dict[str, list[int]] = {}
        for place, placed in term.placements:
            weeks.setdefault(placed.lesson, []).append(place + 1)
        self.shelf.show_orders(term.everybody)
        self.shelf.show_lessons(lessons, weeks, self._beside.is_read)
        if self._areas[None].widget() is not None:
            self.term_form.show_term(term)
            self.term_form.show_problems(self._counting.judged.problems)
        self.view.show_rows(rows_of(term, lessons, improved))

    def focus_weeks(self) -> None:
        """Go to the weeks."""
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _search(self, text: str) -> None:
        self._counting.search(
            text, self._beside.lessons, lambda sought: self.shelf.show_found(sought.text, sought.names, sought.told)
        )

    def _rank(self, wish: Wish) -> None:
        was_plain, self._wish = self._wish.order is Order.TITLE, wish
        if wish.order is Order.TITLE and was_plain:
            return
        self._counting.rank(wish, self._beside.lessons, self._student_folders(), self.shelf.show_ranks)

    def _show_another(self) -> None:
        self.view.setCurrentRow(-1)
        self.show_term()
        self.view.setCurrentRow(0)
        self._show_term_form()

    def _show_term_form(self) -> None:
        self._forms.setCurrentIndex(0)
        # In a moment of its own, so that the weeks are there first.
        QTimer.singleShot(0, self, lambda: self.term_form)

    def _show_form(self, kind: Kind | None) -> None:
        if kind is None:
            self._show_term_form()
        else:
            self._forms.setCurrentIndex(_FORMS.index(kind))

    def _show_chosen(self) -> None:
        row, term = self.view.row, self._open_term.term
        for one in (self.earlier, self.later):
            one.setEnabled(row is not None and row.kind is not Kind.HOLIDAY)
        self.take_out.setEnabled(row is not None)
        kind = None if row is None else row.kind
        if row is not None and kind is Kind.WEEK:
            self.week_form.show_week(term.dated[term.place_of_week(row.id)])
        elif row is not None and kind is Kind.LESSON:
            self.placement_form.show_placed(term.placement(row.id))
        if self.view.is_told_by_hand or self._forms.currentIndex() != 0 or kind is None:
            self._show_form(None if kind is Kind.HOLIDAY else kind)
        self.row_chosen.emit()


_FORMS = (None, Kind.WEEK, Kind.LESSON)
"""What has a form of its own: the whole term, a week, a lesson in its week."""


def _area() -> QScrollArea:
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return area
