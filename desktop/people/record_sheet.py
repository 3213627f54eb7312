"""The ten-second record: the blocks of a handout, a digit and a letter each, typed without looking at the keys."""

from __future__ import annotations

from datetime import date
from typing import Any

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.editors import SideBySideEditor
from desktop.forms.row import quiet_label
from desktop.people.studio import Studio
from desktop.people.wording import counted, day_words, detail_words
from desktop.theme import interface_font, tones_of
from desktop.words import english, say
from lessonkit.lesson.lesson import Lesson
from lessonkit.students.marks import RATINGS, Cause, Source
from lessonkit.students.record import PASS, Record, begin_record, key_taken_back, pressed, record_of, taken_in
from lessonkit.students.student import Handout, Student

ROW_HEIGHT, TITLE_LEFT, KEY_WIDTH = 40, 48, 32
_DIGITS = tuple(str(number) for number in range(len(RATINGS)))
_LETTERS = tuple(cause.value for cause in Cause)
KEYS = (*_DIGITS, "", *_LETTERS, "", PASS)
"""The keys of a row from the left; an empty one is a gap."""

FIRST_LINE, SECOND_LINE = english("First try: "), english("Why less than 3: ")
THIRD_LINE = english("Backspace takes the last key back. Enter takes the record in.")


class RecordSheet(QWidget):
    """The rows of a record. It takes keys and clicks and reports them; what they mean is the engine's."""

    typed = Signal(str)
    """A key that stands for a digit, a letter or the stroke."""

    taken_back = Signal()
    """The last key is to be taken back."""

    ended = Signal()
    """The record is to be taken in."""

    def __init__(self) -> None:
        super().__init__()
        self._record: Record | None = None
        self._keys = ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("Record of first tries"))

    def show_record(self, record: Record | None, keys: str) -> None:
        """Show a record as far as it is typed; None where there is none."""
        self._record, self._keys = record, keys
        rows = 0 if record is None else len(record.handout.blocks)
        self.setMinimumHeight(rows * ROW_HEIGHT + 8)
        self.setAccessibleDescription("" if record is None else say(record.asks) or say("every block has its mark"))
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
        self.update()

    @property
    def place(self) -> int:
        """The row that is asked for."""
        return 0 if self._record is None else len(self._record.lines)

    def key_box(self, place: int, key: str) -> QRectF:
        """Where a key of a row is."""
        left = self.width() - 24 - KEY_WIDTH * len(KEYS)
        return QRectF(left + KEYS.index(key) * KEY_WIDTH, place * ROW_HEIGHT + 6, KEY_WIDTH, ROW_HEIGHT - 12)

    def _said(self, place: int) -> str:
        """The keys that are marked in a row."""
        assert self._record is not None
        if place < len(self._record.lines):
            line = self._record.lines[place]
            if line.rating is None:
                return PASS
            return f"{line.rating}{line.cause.value if line.cause else ''}"
        if place == self.place and self._record.asks.startswith("why"):
            return self._keys[-1]
        return ""

    def _wants(self, place: int) -> tuple[str, ...]:
        """The keys that say something in a row now."""
        assert self._record is not None
        if place != self.place or self._record.is_done:
            return ()
        return (*_LETTERS, PASS) if self._record.asks.startswith("why") else (*_DIGITS, PASS)

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(640, self.minimumHeight())

    def paintEvent(self, event: QPaintEvent) -> None:
        if self._record is None:
            return
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        tones = tones_of(application)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for place, block in enumerate(self._record.handout.blocks):
            top = place * ROW_HEIGHT
            area = QRectF(0, top, self.width(), ROW_HEIGHT)
            is_asked = place == self.place and not self._record.is_done
            if is_asked:
                painter.fillRect(area, QColor(tones.hover))
                painter.fillRect(
                    QRectF(0, top, 3, ROW_HEIGHT), QColor(tones.accent if self.hasFocus() else tones.muted)
                )
            painter.setPen(QColor(tones.ink if is_asked or place < self.place else tones.muted))
            painter.setFont(interface_font(10.5, is_bold=is_asked))
            painter.drawText(area.adjusted(16, 0, 0, 0), int(Qt.AlignmentFlag.AlignVCenter), str(place + 1))
            room = self.key_box(place, "0").left() - TITLE_LEFT - 16
            title = painter.fontMetrics().elidedText(block.title, Qt.TextElideMode.ElideRight, int(room))
            painter.drawText(area.adjusted(TITLE_LEFT, 0, 0, 0), int(Qt.AlignmentFlag.AlignVCenter), title)
            left = painter.fontMetrics().horizontalAdvance(title) + 12
            painter.setFont(interface_font(9.5))
            painter.setPen(QColor(tones.muted))
            detail = painter.fontMetrics().elidedText(
                detail_words(block), Qt.TextElideMode.ElideRight, max(0, int(room - left))
            )
            painter.drawText(area.adjusted(TITLE_LEFT + left, 0, 0, 0), int(Qt.AlignmentFlag.AlignVCenter), detail)
            said, wants = self._said(place), self._wants(place)
            for key in filter(None, KEYS):
                self._paint_key(painter, self.key_box(place, key), key, key in said, key in wants)
        painter.end()

    def _paint_key(self, painter: QPainter, box: QRectF, key: str, is_said: bool, is_wanted: bool) -> None:
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        tones = tones_of(application)
        inside = box.adjusted(2, 0, -2, 0)
        painter.setFont(interface_font(10.5, is_bold=is_said))
        if is_said:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tones.accent))
            painter.drawRoundedRect(inside, 4, 4)
            painter.setPen(QColor(tones.on_accent))
        elif is_wanted:
            painter.setPen(QPen(QColor(tones.muted), 1))
            painter.setBrush(QColor(tones.control))
            painter.drawRoundedRect(inside, 4, 4)
            painter.setPen(QColor(tones.ink))
        else:
            painter.setPen(QColor(tones.muted))
        painter.drawText(inside, int(Qt.AlignmentFlag.AlignCenter), "–" if key == PASS else key)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        text = event.text().upper().replace("–", PASS)
        if event.key() == Qt.Key.Key_Backspace:
            self.taken_back.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.ended.emit()
        elif (text and text in (*_DIGITS, *_LETTERS, PASS)) or (len(text) == 1 and text.isalnum()):
            self.typed.emit(text)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)
        if self._record is None or self._record.is_done:
            return
        point: QPointF = event.position()
        for key in self._wants(self.place):
            if self.key_box(self.place, key).contains(point):
                self.typed.emit(key)

    def focusInEvent(self, event: Any) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: Any) -> None:
        super().focusOutEvent(event)
        self.update()


class RecordPart(QWidget):
    """Which handout, its rows, the keys in words, and the button that takes the record in."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._handouts: list[Handout] = []
        self._source = Source.TEACHER
        self._setting = Lesson().setting
        self.handouts = QComboBox()
        self.handouts.setAccessibleName(say("Handout that is recorded"))
        self.handouts.activated.connect(self._choose)
        self.by = SideBySideEditor(
            [(say("Heard by the teacher"), Source.TEACHER), (say("Marked at home"), Source.STUDENT)]
        )
        self.by.edited.connect(self._choose_source)
        self.sheet = RecordSheet()
        self.sheet.typed.connect(self._type)
        self.sheet.taken_back.connect(self._take_back)
        self.sheet.ended.connect(self._end)
        self._reason = quiet_label("")
        self._reason.setObjectName("reason")
        self._reason.setWordWrap(True)
        self.end = QPushButton(say("Take the record in"))
        self.end.clicked.connect(self._end)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self.sheet)
        self._scroll = scroll
        self._empty = quiet_label(
            say("Nothing was handed out yet. Print a lesson for this student; its drills then stand here.")
        )
        self._empty.setObjectName("quiet")
        self._empty.setWordWrap(True)
        head = QHBoxLayout()
        head.setSpacing(16)
        head.addWidget(self.handouts, 1)
        head.addWidget(self.by)
        foot = QHBoxLayout()
        foot.addWidget(self._reason, 1)
        foot.addWidget(self.end)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(24, 16, 24, 16)
        layout.setSpacing(8)
        layout.addLayout(head)
        layout.addWidget(self._empty)
        layout.addWidget(scroll, 1)
        first = [*(f"{one} {say(words)}" for one, words in enumerate(RATINGS)), say("– not heard")]
        second = [*(f"{one.value} {say(one.words)}" for one in Cause), say("– not clear")]
        lines = say(FIRST_LINE) + " · ".join(first), say(SECOND_LINE) + " · ".join(second), say(THIRD_LINE)
        for words in lines:
            line = quiet_label(words)
            line.setObjectName("quiet")
            line.setWordWrap(True)
            layout.addWidget(line)
        layout.addLayout(foot)
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)
        self.show_student()

    def show_student(self) -> None:
        """Show the record that is being typed, or the last handout's, if it can be seen."""
        if not self.isVisible():
            return
        student = self._studio.student
        self._handouts = [] if student is None else sorted(student.handouts, key=lambda one: one.day, reverse=True)
        self.handouts.blockSignals(True)
        self.handouts.clear()
        for handout in self._handouts:
            self.handouts.addItem(f"{handout.title}, {day_words(handout.day)}")
        handout = self._handout(student)
        if handout is not None:
            self.handouts.setCurrentIndex(self._handouts.index(handout))
        self.handouts.blockSignals(False)
        self._empty.setVisible(student is not None and handout is None)
        self._scroll.setVisible(handout is not None)
        self.handouts.setEnabled(handout is not None)
        keys = student.keys_typed if student is not None and handout and student.handout_typed == handout.id else ""
        record = None if handout is None else record_of(handout, keys)
        self.sheet.show_record(record, keys)
        self.end.setEnabled(bool(keys))
        self._reason.setText("")
        self.by.show_value(self._source, self._setting)
        if record is not None:
            box = self.sheet.key_box(min(self.sheet.place, len(record.handout.blocks) - 1), "0")
            self._scroll.ensureVisible(0, int(box.center().y()), 0, ROW_HEIGHT)

    # Qt overrides

    def showEvent(self, event: Any) -> None:
        super().showEvent(event)
        self.show_student()

    # The ways of the hand

    def focus_sheet(self) -> None:
        """Let the keys go to the record."""
        self.sheet.setFocus(Qt.FocusReason.OtherFocusReason)

    def _handout(self, student: Student | None) -> Handout | None:
        if student is None or not self._handouts:
            return None
        typed = [one for one in self._handouts if one.id == student.handout_typed]
        return typed[0] if typed else self._handouts[0]

    def _choose(self, place: int) -> None:
        student = self._studio.student
        if student is not None and student.keys_typed and student.handout_typed != self._handouts[place].id:
            self.show_student()
            self._reason.setText(say("Take this record in first, or take its keys back; then another can be begun."))
        elif student is not None:
            self._studio.edit(say("Begin a record"), begin_record(student, self._handouts[place].id), "record")
        self.focus_sheet()

    def _choose_source(self, source: Source) -> None:
        self._source = source
        self.focus_sheet()

    def _type(self, key: str) -> None:
        student = self._studio.student
        handout = self._handout(student)
        if student is None or handout is None:
            return
        try:
            self._studio.edit(say("Key {key} of the record", key=key), pressed(begin_record(student, handout.id), key))
        except ValueError as error:
            self._reason.setText(f"{str(error)[:1].upper()}{str(error)[1:]}.")

    def _take_back(self) -> None:
        student = self._studio.student
        if student is not None and student.keys_typed:
            self._studio.edit(say("Take a key back"), key_taken_back(student))

    def _end(self) -> None:
        student = self._studio.student
        if student is None or not student.keys_typed:
            return
        before = len(student.marks)
        done = taken_in(student, date.today(), self._source)
        self._studio.edit(say("Take the record in"), done)
        self._reason.setText(
            say("{marks} taken in. Undo brings the record back.", marks=counted(len(done.marks) - before, "mark"))
        )
