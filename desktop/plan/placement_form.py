"""What a lesson has of its own in its week: for whom, in which key, which deal, whether it was given."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QListWidget, QListWidgetItem

from desktop.editing.keys import keys_in_fifths
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.open_term import OpenTerm
from desktop.plan.panel_parts import PlanForm, button, number_box
from desktop.plan.wording import title_of
from desktop.words import say
from lessonkit.curriculum.issue import mark_of
from lessonkit.curriculum.term import LARGEST_TERM_SEED, Placement
from lessonkit.curriculum.term_edits import attach, mark_given, set_key, set_seed
from lessonkit.theory.key import Mode

_WHO = Qt.ItemDataRole.UserRole


class PlacementForm(PlanForm):
    """Shows the placed lesson that is chosen."""

    open_asked = Signal(str)
    """The lesson is to be opened."""

    def __init__(self, open_term: OpenTerm, beside: LessonsBeside) -> None:
        super().__init__("")
        self._open_term = open_term
        self._beside = beside
        self._placed: Placement | None = None
        self._is_showing = False
        self._file = self.quiet()
        self.open = button(say("Open the lesson"), say("Open the lesson in the lessons room"), self._ask_to_open)
        self.line(self.open)
        self.caption(say("For whom"))
        self.who = QListWidget()
        self.who.setObjectName("whoList")
        self.who.setAccessibleName(say("For whom"))
        self.who.setMaximumHeight(176)
        self.who.itemChanged.connect(self._attach)
        self._for_all = self.quiet(say("Nobody is ticked, so it is for everybody."))
        self.add(self.who)
        self.key = QComboBox()
        self.key.setAccessibleName(say("Key"))
        self.key.addItem(say("As in the lesson"), None)
        for key in (*keys_in_fifths(Mode.MAJOR), *keys_in_fifths(Mode.MINOR)):
            self.key.addItem(str(key), key)
        self.key.activated.connect(self._set_key)
        self.field(say("Key"), self.key)
        self.deal = number_box(say("Deal of what chance decides"), 0, LARGEST_TERM_SEED)
        self.deal.setSpecialValueText(say("As in the lesson"))
        self.deal.valueChanged.connect(self._set_seed)
        self.field(say("Deal of what chance decides"), self.deal)
        self.given = QCheckBox(say("Given out as it is now"))
        self.given.clicked.connect(self._mark)
        self.caption(say("Given"))
        self.add(self.given)
        self._changed = self.quiet(say("The lesson has been changed since it was given."))
        self.end()

    def show_placed(self, placed: Placement) -> None:
        """Show a placed lesson."""
        self._is_showing = True
        self._placed = placed
        lesson = self._beside.lessons.get(placed.lesson)
        self.title.setText(title_of(placed.lesson, self._beside.lessons))
        self._file.setText(
            placed.lesson if lesson is not None else say("{lesson} is not beside the term.", lesson=placed.lesson)
        )
        self.open.setEnabled(lesson is not None)
        self.key.setCurrentIndex(max(0, self.key.findData(placed.key) if placed.key is not None else 0))
        self.deal.setValue(placed.seed)
        is_same = lesson is not None and bool(placed.given) and mark_of(lesson) == placed.given
        self.given.setChecked(is_same)
        self.given.setEnabled(lesson is not None)
        self._changed.setVisible(bool(placed.given) and lesson is not None and not is_same)
        self._show_who(placed)
        self._is_showing = False

    def _show_who(self, placed: Placement) -> None:
        term = self._open_term.term
        names = [("group", group.name) for group in term.groups] + [("student", code) for code in term.everybody]
        gone = [("student", code) for code in placed.students if code not in term.everybody]
        names += gone + [("group", name) for name in placed.groups if ("group", name) not in names]
        self.who.clear()
        for kind, name in names:
            item = QListWidgetItem(name if kind == "student" else say("{name} (group)", name=name))
            item.setData(_WHO, (kind, name))
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable | Qt.ItemFlag.ItemIsUserCheckable)
            is_on = name in (placed.groups if kind == "group" else placed.students)
            item.setCheckState(Qt.CheckState.Checked if is_on else Qt.CheckState.Unchecked)
            self.who.addItem(item)
        self.who.setVisible(bool(names))
        self._for_all.setVisible(placed.is_for_all)
        self._for_all.setText(
            say("Nobody is ticked, so it is for everybody.")
            if names
            else say("The term names no students, so it is for all.")
        )

    def _attach(self) -> None:
        if self._is_showing or self._placed is None:
            return
        items = [self.who.item(place) for place in range(self.who.count())]
        ticked = [item.data(_WHO) for item in items if item.checkState() is Qt.CheckState.Checked]
        groups = [name for kind, name in ticked if kind == "group"]
        students = [name for kind, name in ticked if kind == "student"]
        try:
            term = attach(self._open_term.term, self._placed.id, groups, students)
        except ValueError as error:
            self._open_term.told.emit(f"{error}.")
            return
        self._open_term.edit(say("For whom {text} is", text=self.title.text()), term)

    def _set_key(self) -> None:
        if self._placed is not None and not self._is_showing:
            term = set_key(self._open_term.term, self._placed.id, self.key.currentData())
            self._open_term.edit(say("Key of {text}", text=self.title.text()), term)

    def _set_seed(self, seed: int) -> None:
        if self._placed is not None and not self._is_showing:
            term = set_seed(self._open_term.term, self._placed.id, seed)
            self._open_term.edit(say("Deal of {text}", text=self.title.text()), term, f"seed {self._placed.id}")

    def _mark(self, is_given: bool) -> None:
        if self._placed is not None and self._placed.lesson in self._beside.lessons:
            mark = mark_of(self._beside.lessons[self._placed.lesson]) if is_given else ""
            label = f"{self.title.text()} {'given' if is_given else say('not given')}"
            self._open_term.edit(label, mark_given(self._open_term.term, self._placed.id, mark))

    def _ask_to_open(self) -> None:
        if self._placed is not None:
            self.open_asked.emit(self._placed.id)
