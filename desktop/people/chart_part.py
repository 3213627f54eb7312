"""Weak and strong: keys, chord qualities and shapes, each with one to four dots and what it rests on."""

from __future__ import annotations

from datetime import date
from html import escape

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QHelpEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QApplication, QFrame, QScrollArea, QToolTip, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.painting.dots import paint_dots
from desktop.people.studio import Studio
from desktop.people.wording import counted, day_words
from desktop.theme import Tones, interface_font, tones_of
from desktop.words import english, say
from lessonkit.students.explained import RULES
from lessonkit.students.student import Student
from lessonkit.students.weakness import Chart, Row, Step

HEAD, ROW_HEIGHT, GAP = 40, 28, 32
_COLUMNS = (
    (english("Keys"), "keys"),
    (english("Chord qualities"), "qualities"),
    (english("Shapes under the fingers"), "shapes"),
)


class ChartPicture(QWidget):
    """Three columns, the weakest at the top. Dots tell the step, words what it rests on; no figure is shown."""

    def __init__(self) -> None:
        super().__init__()
        self._chart: Chart | None = None
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setAccessibleName(say("Weak and strong"))

    def show_chart(self, chart: Chart | None) -> None:
        """Show a chart; None while it is worked out."""
        self._chart = chart
        rows = 0 if chart is None else max(len(getattr(chart, name)) for _, name in _COLUMNS)
        self.setMinimumHeight(HEAD + rows * ROW_HEIGHT + 16)
        self.setAccessibleDescription("" if chart is None else spoken_chart(chart))
        self.update()

    def row_at(self, point: QPointF) -> Row | None:
        """The row under a point."""
        if self._chart is None or point.y() < HEAD:
            return None
        column = min(len(_COLUMNS) - 1, max(0, int(point.x() / (self._width + GAP))))
        rows = getattr(self._chart, _COLUMNS[column][1])
        place = int((point.y() - HEAD) / ROW_HEIGHT)
        return rows[place] if place < len(rows) else None

    def row_box(self, column: int, place: int) -> QRectF:
        """Where a row is."""
        return QRectF(column * (self._width + GAP), HEAD + place * ROW_HEIGHT, self._width, ROW_HEIGHT)

    @property
    def _width(self) -> float:
        return (self.width() - (len(_COLUMNS) - 1) * GAP) / len(_COLUMNS)

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(900, self.minimumHeight())

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            row = self.row_at(QPointF(event.pos()))
            rich = "" if row is None else f"<p style='white-space: pre-wrap'>{escape(explained(row))}</p>"
            QToolTip.showText(event.globalPos(), rich, self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        tones = tones_of(application)
        painter = QPainter(self)
        for column, (title, name) in enumerate(_COLUMNS):
            head = QRectF(column * (self._width + GAP), 0, self._width, HEAD - 8)
            painter.setFont(interface_font(9.5, is_bold=True))
            painter.setPen(QColor(tones.muted))
            painter.drawText(head, int(Qt.AlignmentFlag.AlignBottom), say(title))
            for place, row in enumerate(() if self._chart is None else getattr(self._chart, name)):
                self._paint_row(painter, self.row_box(column, place), row, tones)
        painter.end()

    def _paint_row(self, painter: QPainter, box: QRectF, row: Row, tones: Tones) -> None:
        middle = box.center().y()
        painter.setPen(QPen(QColor(tones.edge), 1))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        dots = 44.0
        ink = QColor(tones.ink)
        if row.step is Step.WEAK:
            painter.fillRect(box.adjusted(0, 0, 0, -1), QColor(tones.hover))
        paint_dots(painter, row.step.dots, box.left() + 8, middle, ink, 7.0, 9.5)
        left = box.left() + dots + 8
        painter.setFont(interface_font(10.5, is_bold=row.step in (Step.WEAK, Step.SHAKY)))
        painter.setPen(ink)
        words = QRectF(left, box.top(), box.width(), box.height())
        painter.drawText(words, int(Qt.AlignmentFlag.AlignVCenter), _label(row))
        used = painter.fontMetrics().horizontalAdvance(_label(row))
        painter.setFont(interface_font(9.5))
        painter.setPen(QColor(tones.muted))
        room = box.right() - left - used - 20
        choices = (f"{say(row.step.value)} · {say(row.rests_on)}", *_shorter(row))
        said = next((one for one in choices if painter.fontMetrics().horizontalAdvance(one) <= room - 8), choices[-1])
        right = QRectF(box.right() - room, box.top(), room - 8, box.height())
        painter.drawText(
            right, int(Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight),
            painter.fontMetrics().elidedText(said, Qt.TextElideMode.ElideRight, int(room - 8)),
        )  # fmt: skip


class ChartPart(QScrollArea):
    """The chart of the chosen student, worked out beside the window's thread."""

    def __init__(self, studio: Studio) -> None:
        super().__init__()
        self._studio = studio
        self._shown: Student | None = None
        self.picture = ChartPicture()
        self._said = quiet_label("")
        self._said.setObjectName("quiet")
        self._said.setWordWrap(True)
        rule = quiet_label(say("One dot is secure, four are weak. ") + say(RULES["weakness"]))
        rule.setObjectName("quiet")
        rule.setWordWrap(True)
        body = QWidget()
        body.setObjectName("form")
        layout = QVBoxLayout(body)
        layout.setContentsMargins(24, 8, 24, 16)
        layout.setSpacing(8)
        layout.addWidget(self._said)
        layout.addWidget(self.picture)
        layout.addStretch(1)
        layout.addWidget(rule)
        self.setWidget(body)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        studio.changed.connect(self.show_student)
        studio.chosen.connect(self.show_student)

    def show_student(self) -> None:
        """Work the chart out, if it can be seen and is another."""
        student = self._studio.student
        if not self.isVisible() or student is self._shown:
            return
        self._shown = student
        if student is None:
            self._show(None)
            return
        today = date.today()
        self._studio.aside.ask("chart", lambda: student.chart(today), self._show)

    def _show(self, chart: Chart | None) -> None:
        self.picture.show_chart(chart)
        student = self._studio.student
        if chart is None or student is None:
            self._said.setText("")
        elif not student.marks:
            self._said.setText(say("No marks yet. A record of first tries fills this page."))
        else:
            newest = max(mark.day for mark in student.marks)
            self._said.setText(
                say(
                    "It rests on {n} marks, the newest of {day_words}.",
                    n=len(student.marks),
                    day_words=day_words(newest),
                )
            )

    # Qt overrides

    def showEvent(self, event: object) -> None:
        super().showEvent(event)  # type: ignore[arg-type]
        self.show_student()


def explained(row: Row) -> str:
    """What a row says and how it can be worked out again by hand."""
    return say(
        "{label}: {value}. It rests on: {rests_on}.\nWeakness {weakness:.2f}, with a start of {prior:.2f}.\n{rule}",
        label=_label(row),
        value=say(row.step.value),
        rests_on=say(row.rests_on),
        weakness=row.weakness,
        prior=row.prior,
        rule=say(RULES["weakness"]),
    )


def spoken_chart(chart: Chart) -> str:
    """The chart in words for who cannot see it."""
    parts = []
    for title, name in _COLUMNS:
        rows = getattr(chart, name)
        said = "; ".join(f"{_label(row)} {say(row.step.value)}, {say(row.rests_on)}" for row in rows) or say(
            "no marks yet"
        )
        parts.append(f"{say(title)}: {said}.")
    return " ".join(parts)


_COLOURS = (english("black"), english("white"))


def _label(row: Row) -> str:
    """What the row is of; a shape is told by the colours of its keys."""
    words = row.label.split()
    return " ".join(map(say, words)) if set(words) <= set(_COLOURS) else say(row.label)


def _shorter(row: Row) -> tuple[str, ...]:
    """The same in fewer and fewer words, for narrow windows; the dots still tell the step."""
    marks = counted(row.marks, "mark")
    if row.newest is None:
        return (row.rests_on,)
    age = say("today") if row.newest == 0 else counted(row.newest, "day")
    return f"{say(row.step.value)} · {marks}, {age}", f"{marks}, {age}", marks
