"""The form of a student: a table of rows, each of which shows one field and changes it as it is typed."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QScrollArea, QToolButton, QVBoxLayout, QWidget

from desktop.forms.editors import Editor, ListEditor, SideBySideEditor, TextEditor, WholeEditor, YesNoEditor
from desktop.forms.lesson_options import PAPERS, STRENGTHS, STYLE_WORDS, face_shown
from desktop.forms.long_text import LongTextEditor
from desktop.forms.row import Group, Row
from desktop.forms.wording import capital
from desktop.people.studio import Studio
from desktop.words import english, say
from lessonkit.drills.params import Whole
from lessonkit.drills.setting import Setting
from lessonkit.hands.profile import span_from_words
from lessonkit.lesson.lesson import Lesson
from lessonkit.storage.student_file import read_day
from lessonkit.students.student import LEAST_MINUTES, MOST_MINUTES, AgeBand, ReadingLevel, Student
from lessonkit.theory.label_style import CHOICES
from lessonkit.theory.quality import QUALITIES
from lessonkit.values import dataclass

FIELDS_AT_ONCE, BUTTONS_AT_ONCE = 3, 7
"""So many rows, and buttons of one row, are made before the window may answer."""

_STAVES = (60, 65, 70, 75, 80, 90, 100, 120, 140, 160)
_DAYS = (
    english("Monday"), english("Tuesday"), english("Wednesday"), english("Thursday"), english("Friday"),
    english("Saturday"), english("Sunday"),
)  # fmt: skip
_SPAN_HELP = english("Thumb to little finger, spread flat: 188, 18.8 cm, small, medium or large.")


@dataclass(frozen=True, slots=True)
class Field:
    """One row: its column and group, its words, who edits it, and how it is taken from a student and put back."""

    column: int
    group: str
    name: str
    label: str
    editor: Callable[[], Editor]
    value: Callable[[Student], Any]
    put: Callable[[Student, Any], Student]
    help: str = ""


def _plain(column: int, group: str, name: str, label: str, editor: Callable[[], Editor], help: str = "") -> Field:
    return Field(
        column, group, name, label, editor, lambda student: getattr(student, name),
        lambda student, value: replace(student, **{name: value}), help,
    )  # fmt: skip


def _hand(name: str, label: str, editor: Callable[[], Editor], help: str = "") -> Field:
    return Field(
        0, "Hands", name, label, editor, lambda student: getattr(student.hands, name),
        lambda student, value: replace(student, hands=replace(student.hands, **{name: value})), help,
    )  # fmt: skip


def _face(name: str) -> Field:
    return Field(
        1, "Chord names", name, STYLE_WORDS[name],
        lambda: SideBySideEditor([(face_shown(name, face), face) for face in CHOICES[name]]),
        lambda student: getattr(student.label_style, name),
        lambda student, value: replace(student, label_style=replace(student.label_style, **{name: value})),
    )  # fmt: skip


def _rhythm(name: str, label: str, editor: Callable[[], Editor], help: str) -> Field:
    return Field(
        1, "Practice", name, label, editor, lambda student: getattr(student.rhythm, name),
        lambda student, value: replace(student, rhythm=replace(student.rhythm, **{name: value})), help,
    )  # fmt: skip


def _goal(text: str) -> date | None:
    return read_day(text.strip()) if text.strip() else None


class SeveralEditor(Editor):
    """Any number of options, each a button that is switched on or off; the first are there at once."""

    def __init__(self, options: Sequence[tuple[Any, str, str]], columns: int) -> None:
        self._holder = QWidget()
        super().__init__(self._holder)
        self.is_wide = True
        self._buttons: dict[Any, QToolButton] = {}
        self._left = list(options)
        self._columns = columns
        self._chosen: frozenset[Any] = frozenset()
        self._grid = QGridLayout(self._holder)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setSpacing(2)
        self._grid.setColumnStretch(columns, 1)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)
        self._make(BUTTONS_AT_ONCE)
        self._holder.setFocusProxy(next(iter(self._buttons.values())))
        if self._left:
            self._timer.start()

    @property
    def buttons(self) -> dict[Any, QToolButton]:
        """Every button by its option; those that are not there yet are made now."""
        self._make(len(self._left))
        return self._buttons

    def show_value(self, value: Any, setting: Setting) -> None:
        self._chosen = frozenset(value)
        for one, button in self._buttons.items():
            button.setChecked(one in self._chosen)

    def _go_on(self) -> None:
        self._make(BUTTONS_AT_ONCE)

    def _make(self, count: int) -> None:
        for value, words, spoken in self._left[:count]:
            button = QToolButton()
            button.setText(words)
            button.setAccessibleName(spoken)
            button.setToolTip(spoken)
            button.setCheckable(True)
            button.setChecked(value in self._chosen)
            button.setProperty("segment", True)
            place = len(self._buttons)
            self._grid.addWidget(button, place // self._columns, place % self._columns)
            # A name that is cut short names nothing.
            button.setMinimumWidth(button.sizeHint().width())
            button.clicked.connect(self._report)
            self._buttons[value] = button
        del self._left[:count]
        if not self._left:
            self._timer.stop()

    def _report(self) -> None:
        shown = {value for value, button in self._buttons.items() if button.isChecked()}
        self._chosen = frozenset(shown | {value for value, _, _ in self._left if value in self._chosen})
        self.edited.emit(self._chosen)


def _qualities() -> Editor:
    options = []
    for quality in QUALITIES:
        suffix = quality.suffix.replace("b", "♭").replace("#", "♯")
        options.append((quality.key, f"C{suffix}", capital(say(quality.words))))
    return SeveralEditor(options, 4)


FIELDS: tuple[Field, ...] = (
    _hand("right_span", "Right hand opens", lambda: _span(), _SPAN_HELP),
    _hand("left_span", "Left hand opens", lambda: _span(), _SPAN_HELP),
    _plain(0, "Hands", "is_growing", "Still growing", YesNoEditor, "Stretches are avoided, and care is printed."),
    _plain(0, "Hands", "was_injured", "Once injured", YesNoEditor, "Stretches are avoided, and care is printed."),
    _hand("avoid_stretches", "Spare wide stretches", YesNoEditor),
    _hand("keep_thumb_off_black", "Thumb off black keys", lambda: _strengths()),
    _hand("keep_little_finger_off_black", "Little finger off black keys", lambda: _strengths()),
    _plain(0, "Age", "age", "Age", lambda: ListEditor([(say(one.value), one) for one in AgeBand])),
    _plain(
        1, "On the page", "reading", "Reads",
        lambda: ListEditor([(capital(say(one.value)), one) for one in ReadingLevel]),
        "Each drill is written as this student reads.",
    ),
    _plain(
        1, "On the page", "staff_tenths", "Staff at least",
        lambda: ListEditor([(f"{size / 10:g} mm", size) for size in _STAVES]), "From the lowest line to the highest.",
    ),
    _plain(
        1, "On the page", "paper", "Paper",
        lambda: ListEditor([(say(words), paper) for words, paper in PAPERS]),
    ),
    *(_face(name) for name in CHOICES),
    _plain(
        1, "Practice", "minutes", "A day's practice",
        lambda: WholeEditor(Whole(label="", least=LEAST_MINUTES, most=MOST_MINUTES, unit="minutes")),
        "How much is planned and what can be begun follow from it.",
    ),
    _rhythm(
        "days", "Practises on",
        lambda: SeveralEditor([(place, say(day)[:2], say(day)) for place, day in enumerate(_DAYS)], 7),
        "What falls due on another day comes on the practice day before.",
    ),
    _rhythm(
        "goal", "Works towards",
        lambda: TextEditor(_goal, lambda day: "" if day is None else day.isoformat(), say("2026-06-26 or empty")),
        "A concert or an examination, as 2026-06-26: no wait of the review is longer than a fifth of the days left.",
    ),
    _plain(
        1, "Practice", "weak_share", "Weak keys",
        lambda: WholeEditor(Whole(label="", least=0, most=100, unit=say("in a hundred"))),
        "How many of a drill's keys are dealt to weak ones.",
    ),
    _plain(2, "Chords", "vocabulary", "Chords met so far", _qualities),
    _plain(2, "Notes on the student", "notes", "For the teacher only, never printed", lambda: LongTextEditor(6)),
)  # fmt: skip
"""The rows of the form, by column and group; a test holds that no field of a student is missing."""


def _strengths() -> Editor:
    return ListEditor([(say(words), value) for words, value in STRENGTHS])


def _span() -> Editor:
    # A file keeps whole millimetres.
    return TextEditor(lambda text: float(round(span_from_words(text))), lambda span: f"{span:.0f} mm", "188 mm")


class Profile(QScrollArea):
    """The form of the chosen student. Its rows are made a few at a time, while the window answers."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._setting = Lesson().setting
        self._rows: dict[str, Row] = {}
        self._left = list(FIELDS)
        self._groups: dict[str, Group] = {}
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(say("Profile"))
        body = QWidget()
        body.setObjectName("form")
        columns = QHBoxLayout(body)
        columns.setContentsMargins(24, 16, 24, 16)
        columns.setSpacing(24)
        self._columns = [QVBoxLayout() for _ in range(3)]
        for column, stretch in zip(self._columns, (5, 5, 6), strict=True):
            column.setSpacing(0)
            column.addStretch(1)
            columns.addLayout(column, stretch)
        self.setWidget(body)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)
        self._timer.start()
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)

    @property
    def rows(self) -> dict[str, Row]:
        """Every row by the name of its field; those that are not there yet are made now."""
        self._make(len(self._left))
        return self._rows

    def show_student(self) -> None:
        """Show the chosen student as they are now."""
        student = self._studio.student
        body = self.widget()
        assert body is not None
        body.setVisible(student is not None)
        if student is not None and self.isVisible():
            for field in FIELDS:
                if field.name in self._rows:
                    self._rows[field.name].editor.show_value(field.value(student), self._setting)

    def _go_on(self) -> None:
        self._make(FIELDS_AT_ONCE)

    def _make(self, count: int) -> None:
        student = self._studio.student
        for field in self._left[:count]:
            if field.group not in self._groups:
                column = self._columns[field.column]
                self._groups[field.group] = Group(field.group)
                column.insertWidget(column.count() - 1, self._groups[field.group])
            row = self._row(field)
            if student is not None:
                row.editor.show_value(field.value(student), self._setting)
            self._groups[field.group].add(row)
        del self._left[:count]
        if not self._left:
            self._timer.stop()

    def _row(self, field: Field) -> Row:
        row = Row(field.label, field.editor(), field.help)
        row.setObjectName(field.name)

        def wish(value: Any) -> None:
            student = self._studio.student
            if student is None:
                return
            try:
                changed = field.put(student, value)
            except ValueError as error:
                row.show_reason(str(error))
                row.editor.show_value(field.value(student), self._setting)
                return
            row.show_reason("")
            self._studio.edit(field.label, changed, field.name)

        row.editor.edited.connect(wish)
        self._rows[field.name] = row
        return row

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.show_student()
