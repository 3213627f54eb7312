"""How hard the weeks are for each hand, where it jumps, and what is used before it is introduced."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QEvent, QPointF, QSize, Qt, Signal
from PySide6.QtGui import QHelpEvent, QMouseEvent, QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QToolTip,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.plan.counting import Counting, Judged
from desktop.plan.lessons_beside import LessonsBeside
from desktop.plan.paper_view import MARGIN, SCALE, mark_under, paint_on_paper
from desktop.plan.wording import title_of
from desktop.words import say
from lessonkit.curriculum.coverage import Place
from lessonkit.curriculum.hardness import Hardest
from lessonkit.curriculum.pictures import hardness_chart
from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import Hand
from lessonkit.hands.difficulty import band_of

_PLACE = Qt.ItemDataRole.UserRole


class HardnessChart(QWidget):
    """The chart on paper; a dot tells what it is and opens its drill."""

    opened = Signal(Place)
    """The drill of a dot is to be opened."""

    def __init__(self) -> None:
        super().__init__()
        self._judged = Judged()
        self._drawing: Drawing | None = None
        self.setMouseTracking(True)
        self.setAccessibleName(say("Difficulty over the weeks"))
        self.setFixedHeight(round(hardness_chart({}).height * SCALE + 2 * MARGIN))

    def show_judged(self, judged: Judged) -> None:
        """Show how hard the weeks are."""
        self._judged = judged
        self._drawing = None
        self.update()

    @property
    def drawing(self) -> Drawing:
        """The chart, as wide as there is room."""
        width = max(320.0, (self.width() - 2 * MARGIN) / SCALE)
        if self._drawing is None or self._drawing.width != width:
            self._drawing = hardness_chart(self._judged.weeks, width)
            self.setAccessibleDescription(say(self._drawing.spoken))
        return self._drawing

    def hardest_at(self, point: QPointF) -> Hardest | None:
        """What a dot under a point stands for."""
        mark = mark_under(point, self.drawing, "week dot", SCALE)
        if mark is None:
            return None
        hand, _, week = mark.name.partition(".")
        return self._judged.weeks[int(week)][Hand(hand)]

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(640, self.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_on_paper(painter, self.size(), self.drawing if self._judged.weeks else None, SCALE)
        painter.end()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        hardest = self.hardest_at(event.position())
        if hardest is not None:
            self.opened.emit(hardest.place)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            hardest = self.hardest_at(QPointF(event.pos()))
            words = "" if hardest is None else hardest_words(hardest)
            QToolTip.showText(event.globalPos(), words, self)
            return True
        return super().event(event)


class HardnessPart(QWidget):
    """The chart, and below it what to look at."""

    shown = Signal(Path, str)
    """A drill is to be shown in the lessons room: the lesson's file and the drill's id."""

    def __init__(self, counting: Counting, beside: LessonsBeside) -> None:
        super().__init__()
        self._counting = counting
        self._beside = beside
        self.chart = HardnessChart()
        self.jumps = _list(say("Jumps of difficulty"))
        self.early = _list(say("Used before it is introduced"))
        self._no_jumps = quiet_label("")
        self._no_early = quiet_label("")
        inner = QWidget()
        inner.setObjectName("form")
        column = QVBoxLayout(inner)
        column.setContentsMargins(24, 0, 24, 24)
        column.setSpacing(8)
        column.addWidget(self.chart)
        across = QHBoxLayout()
        across.setSpacing(32)
        for words, quiet, lines in (
            (say("Jumps: much harder than everything before"), self._no_jumps, self.jumps),
            (say("Used before it is introduced"), self._no_early, self.early),
        ):
            caption = quiet_label(words)
            caption.setObjectName("groupCaption")
            quiet.setObjectName("quiet")
            quiet.setWordWrap(True)
            side = QVBoxLayout()
            side.setSpacing(8)
            side.addWidget(caption)
            side.addWidget(quiet)
            side.addWidget(lines, 1)
            side.addStretch(0)
            across.addLayout(side, 1)
            lines.itemActivated.connect(self._open_item)
        column.addSpacing(16)
        column.addLayout(across, 1)
        area = QScrollArea()
        area.setWidget(inner)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(area)
        self.chart.opened.connect(self._open)
        counting.was_judged.connect(self.show_judged)

    @property
    def panes(self) -> tuple[QWidget, ...]:
        """What F6 goes through."""
        return self.jumps, self.early

    def show_judged(self) -> None:
        """Show what is worked out."""
        judged = self._counting.judged
        self.chart.show_judged(judged)
        is_ready = self._counting.is_judged
        jumps = [(jump_words(jump.hardest, jump.before, self._title), jump.hardest.place) for jump in judged.jumps]
        early = [
            (
                say(
                    "Week {week}, {title}: {what} is used before {needs}",
                    week=one.place.week,
                    title=self._title(one.place.lesson),
                    what=one.what,
                    needs=one.needs,
                ),
                one.place,
            )
            for one in judged.too_early
        ]
        for lines, quiet, found, nothing in (
            (self.jumps, self._no_jumps, jumps, say("None: no week asks for much more than the weeks before.")),
            (self.early, self._no_early, early, say("Nothing: everything is introduced before it is used.")),
        ):
            lines.clear()
            for words, place in found:
                item = QListWidgetItem(words)
                item.setData(_PLACE, place)
                lines.addItem(item)
            lines.setVisible(bool(found))
            quiet.setText(nothing if is_ready else say("Being worked out …"))
            quiet.setVisible(not found)

    def _title(self, name: str) -> str:
        return title_of(name, self._beside.lessons)

    def _open_item(self, item: QListWidgetItem) -> None:
        self._open(item.data(_PLACE))

    def _open(self, place: Place) -> None:
        path = self._beside.path_of(place.lesson)
        if path is not None:
            self.shown.emit(path, place.block_id)

    # Qt overrides

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.show_judged()


def hardest_words(hardest: Hardest) -> str:
    """``Week 3, right hand: hard. The hand leaps …``"""
    reason = hardest.difficulty.reasons[0] if hardest.difficulty.reasons else ""
    words = say(
        "Week {week}, {value} hand: {value2}",
        week=hardest.place.week,
        value=hardest.hand.value,
        value2=band_of(hardest.score).value,
    )
    return f"{words}. {reason[:1].upper()}{reason[1:]}." if reason else f"{words}."


def jump_words(hardest: Hardest, before: float, title_of_lesson: object) -> str:
    """``Week 2, Climbing the scale: hard for the left hand, after nothing harder than easy. The thumb …``"""
    assert callable(title_of_lesson)
    reason = hardest.difficulty.reasons[0] if hardest.difficulty.reasons else hardest.difficulty.where
    return say(
        "Week {week}, {title_of_lesson}: {value} for the {value2} hand, after nothing harder than {value3}: {reason}",
        week=hardest.place.week,
        title_of_lesson=title_of_lesson(hardest.place.lesson),
        value=band_of(hardest.score).value,
        value2=hardest.hand.value,
        value3=band_of(before).value,
        reason=reason,
    )


def _list(name: str) -> QListWidget:
    made = QListWidget()
    made.setObjectName("lines")
    made.setAccessibleName(name)
    made.setAccessibleDescription(say("Enter opens the drill in the lessons room."))
    made.setWordWrap(True)
    made.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    made.setMinimumHeight(120)
    return made
