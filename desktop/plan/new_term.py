"""A new term: blank, from last year's with new dates and new deals, or lessons spread over weeks."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.plan.day_edit import DayEdit
from desktop.plan.panel_parts import button, number_box
from desktop.plan.plan_questions import PlanQuestions
from desktop.plan.wording import title_of
from desktop.words import english, say
from lessonkit.curriculum.issue import improved_since
from lessonkit.curriculum.term import MOST_WEEKS, Term
from lessonkit.curriculum.term_edits import TEMPLATES, Template, blank_term, from_template, re_issued
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.lesson_file import read_lesson
from lessonkit.storage.strict import LessonFileError
from lessonkit.storage.term_file import read_term
from lessonkit.values import dataclass

BLANK, LAST_YEAR = english("Blank weeks"), english("Last year’s term, for this year")


@dataclass(frozen=True, slots=True)
class Begun:
    """A term to begin with, and the folder that its lessons lie in."""

    term: Term
    folder: Path


class NewTerm(QDialog):
    """Asks how the term begins; what does not belong to the chosen way is hidden."""

    def __init__(
        self,
        parent: QWidget,
        questions: PlanQuestions,
        folder: Path,
        open_term: Term | None,
        lessons: Mapping[str, Lesson],
        today: date,
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("New term"))
        self._questions = questions
        self._folder = self._lessons_folder = folder
        self._last = open_term
        self._last_lessons = lessons
        self._lessons = lessons
        self.way = QComboBox()
        self.way.setAccessibleName(say("The term begins as"))
        self.way.addItem(say(BLANK), None)
        self.way.addItem(say(LAST_YEAR), LAST_YEAR)
        for template in TEMPLATES:
            self.way.addItem(say(template.name), template)
        self.way.currentIndexChanged.connect(self._follow)
        self.name = QLineEdit(say("New term"))
        self.name.setAccessibleName(say("Title"))
        self.name.textEdited.connect(self._follow)
        self.starts = DayEdit(say("First day"), today)
        self.weeks = number_box(say("How many weeks"), 1, MOST_WEEKS)
        self.weeks.setValue(12)
        self._last_words = quiet_label("")
        self._last_words.setObjectName("quiet")
        self._last_words.setWordWrap(True)
        self.choose_last = button(say("Another term …"), say("Choose another term to begin from"), self._choose_last)
        self.deals_anew = QCheckBox(say("Deal anew what chance decides"))
        self.deals_anew.setChecked(True)
        self.taken = QListWidget()
        self.taken.setObjectName("whoList")
        self.taken.setAccessibleName(say("Lessons in their order"))
        self.taken.setDragDropMode(QListWidget.DragDropMode.InternalMove)
        for name in lessons:
            item = QListWidgetItem(title_of(name, lessons))
            item.setData(Qt.ItemDataRole.UserRole, name)
            item.setCheckState(Qt.CheckState.Checked)
            self.taken.addItem(item)
        self.taken.setMinimumHeight(248)
        self.taken.setCurrentRow(0)
        self.taken.itemChanged.connect(self._follow)
        self.earlier = button(say("Earlier"), say("Put the chosen lesson earlier"), lambda: self._shift(-1))
        self.later = button(say("Later"), say("Put the chosen lesson later"), lambda: self._shift(1))
        self._reason = quiet_label("")
        self._reason.setObjectName("reason")
        self._reason.setWordWrap(True)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.begin = buttons.addButton(say("Begin …"), QDialogButtonBox.ButtonRole.AcceptRole)
        self.begin.setDefault(True)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(24, 16, 24, 16)
        self._layout.setSpacing(4)
        self._field(say("The term begins as"), self.way)
        self._field(say("Title"), self.name)
        self._field(say("First day"), self.starts)
        self._of_blank = self._field(say("How many weeks"), self.weeks)
        self._of_last = self._holder(self._last_words, self._beside(self.choose_last), self.deals_anew)
        self._of_template = self._field(say("Lessons, in their order"), self.taken)
        self._of_template.layout().addWidget(self._beside(self.earlier, self.later))
        self._layout.addStretch(1)
        self._layout.addWidget(self._reason)
        self._layout.addSpacing(8)
        self._layout.addWidget(buttons)
        self.setMinimumWidth(440)
        self._follow()

    @property
    def begun(self) -> Begun:
        """What is asked for; raises ValueError with a sentence where it cannot be."""
        way, title, day = self.way.currentData(), self.name.text(), self.starts.day
        if isinstance(way, Template):
            if not self.names:
                raise ValueError(say("no lesson is ticked; tick some, or begin with blank weeks"))
            return Begun(from_template(way, title, day, self.names), self._folder)
        if way == LAST_YEAR:
            if self._last is None:
                raise ValueError(say("choose last year’s term"))
            seed = None if self.deals_anew.isChecked() else 0
            return Begun(re_issued(self._last, title, day, (), seed), self._lessons_folder)
        return Begun(blank_term(title, day, self.weeks.value()), self._folder)

    @property
    def names(self) -> list[str]:
        """The lessons that are ticked, in their order."""
        items = [self.taken.item(place) for place in range(self.taken.count())]
        return [
            str(item.data(Qt.ItemDataRole.UserRole)) for item in items if item.checkState() is Qt.CheckState.Checked
        ]

    def _follow(self) -> None:
        way = self.way.currentData()
        self._of_blank.setVisible(way is None)
        self._of_last.setVisible(way == LAST_YEAR)
        self._of_template.setVisible(isinstance(way, Template))
        self._last_words.setText(self._about_last())
        try:
            _ = self.begun
            self._reason.setText("")
        except ValueError as error:
            self._reason.setText(f"{str(error)[:1].upper()}{str(error)[1:]}.")
        self._reason.setVisible(bool(self._reason.text()))
        self.begin.setEnabled(not self._reason.text())
        self._fit()

    def _about_last(self) -> str:
        if self._last is None:
            return say("No term is chosen yet.")
        better = improved_since(self._last, self._last_lessons)
        said = say(
            "From {title}: its weeks, notes, groups and students; holidays are set anew.", title=self._last.title
        )
        if better:
            names = ", ".join(dict.fromkeys(title_of(one.lesson, self._last_lessons) for one in better))
            said += say(" Changed since last year’s were given: {names}.", names=names)
        return said

    def _choose_last(self) -> None:
        path = self._questions.term_to_open(self._folder)
        if path is None:
            return
        try:
            self._last, self._lessons_folder = read_term(path), path.parent
            self._last_lessons = _given_lessons(self._last, path.parent)
        except LessonFileError as error:
            self._reason.setText(f"{error}.")
            self._reason.show()
            return
        self._follow()

    def _field(self, words: str, editor: QWidget) -> QWidget:
        label = quiet_label(words)
        label.setBuddy(editor)
        return self._holder(label, editor)

    def _holder(self, *widgets: QWidget) -> QWidget:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 4, 0, 4)
        column.setSpacing(4)
        for widget in widgets:
            column.addWidget(widget)
        self._layout.addWidget(holder)
        return holder

    def _shift(self, by: int) -> None:
        place = self.taken.currentRow()
        if place >= 0 and 0 <= place + by < self.taken.count():
            self.taken.insertItem(place + by, self.taken.takeItem(place))
            self.taken.setCurrentRow(place + by)

    def _fit(self) -> None:
        """Be as high as what is shown needs, words that break into lines among it."""
        self._layout.activate()
        self.resize(self.width(), max(self._layout.heightForWidth(self.width()), self._layout.minimumSize().height()))

    @staticmethod
    def _beside(*widgets: QWidget) -> QWidget:
        holder = QWidget()
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        for widget in widgets:
            row.addWidget(widget)
        row.addStretch(1)
        return holder

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._fit()


def _given_lessons(term: Term, folder: Path) -> dict[str, Lesson]:
    """The lessons of a term that were noted as given, as they are now; those that cannot be read are left out."""
    found: dict[str, Lesson] = {}
    for name in {one.lesson for _, one in term.placements if one.given}:
        try:
            found[name] = read_lesson(folder / name)
        except LessonFileError:
            continue
    return found
