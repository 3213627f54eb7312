"""Three short hints at the first start, each beside what it speaks of. One that is done or closed never comes again."""

from __future__ import annotations

from collections.abc import Callable
from enum import Enum
from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, QRect, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QApplication, QPushButton, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.memory import Memory
from desktop.theme import enlarged, tones_of
from desktop.words import english, say
from lessonkit.lesson.change import Change
from lessonkit.values import dataclass

if TYPE_CHECKING:
    from desktop.desk import Desk

_WIDTH, _POINT, _CORNER = 236, 9, 6
_AWAY = 24
"""How far a hint stands from the corner of what it lies over, in pixels."""


class Side(Enum):
    """The side of a hint on which its point is."""

    TOP = "top"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class HintRow:
    """One hint: its name in the memory, its words, the side that points, and where the point is in the room."""

    name: str
    words: str
    side: Side
    at: Callable[[Desk], tuple[QWidget, QPoint]]


def _at_strip(desk: Desk) -> tuple[QWidget, QPoint]:
    view = desk.view
    return view, QPoint(view.width() - _WIDTH // 2 - 2 * _AWAY, 0)


def _at_shelf(desk: Desk) -> tuple[QWidget, QPoint]:
    return desk.shelf, QPoint(desk.shelf.width(), round(desk.shelf.height() * 0.55))


def _at_panel(desk: Desk) -> tuple[QWidget, QPoint]:
    return desk.panel, QPoint(0, round(desk.panel.height() * 0.4))


HINTS = (
    HintRow(
        "key", english("Choose another key here, and the whole lesson goes there: drills, words and all."),
        Side.TOP, _at_strip,
    ),
    HintRow(
        "shelf", english("Drills, words and aids stand here. Type what you look for, and click to put it in."),
        Side.LEFT, _at_shelf,
    ),
    HintRow(
        "panel", english("Click a drill on the page, and here is all that can be set of it. Click again to write."),
        Side.RIGHT, _at_panel,
    ),
)  # fmt: skip
"""The hints; none is about another."""


class FirstHints(QObject):
    """Shows the hints that are left and forgets each when it was closed, or when what it says was done."""

    def __init__(self, desk: Desk, memory: Memory, room: QWidget) -> None:
        super().__init__(room)
        self._desk = desk
        self._memory = memory
        self.hints: dict[str, Hint] = {}
        for row in HINTS:
            if row.name in memory.hints_left:
                hint = Hint(room, row)
                hint.closed.connect(self._forget)
                self.hints[row.name] = hint
        room.installEventFilter(self)
        for part in (desk.shelf, desk.panel, desk.view):
            part.installEventFilter(self)
        desk.open_lesson.changed.connect(self._follow_change)
        desk.selection.changed.connect(self._follow_selection)
        self._place()

    def _place(self) -> None:
        for hint in self.hints.values():
            part, at = hint.row.at(self._desk)
            hint.setVisible(part.isVisibleTo(hint.parentWidget()))
            hint.point_at(part.mapTo(hint.parentWidget(), at))

    def _follow_change(self, change: Change) -> None:
        if change.is_setting_changed:
            self._forget("key")
        if change.added:
            self._forget("shelf")

    def _follow_selection(self) -> None:
        if self._desk.selection.ids:
            self._forget("panel")

    def _forget(self, name: str) -> None:
        hint = self.hints.pop(name, None)
        if hint is not None:
            self._memory.hints_left = tuple(left for left in self._memory.hints_left if left != name)
            hint.hide()
            hint.deleteLater()

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Move, QEvent.Type.Show, QEvent.Type.Hide):
            self._place()
        return super().eventFilter(watched, event)


class Hint(QWidget):
    """A few words with a point, over the room but in nobody's way: it takes no focus and stops nothing."""

    closed = Signal(str)

    def __init__(self, room: QWidget, row: HintRow) -> None:
        super().__init__(room)
        self.row = row
        words = quiet_label(say(row.words))
        words.setWordWrap(True)
        shut = QPushButton(say("Got it"))
        shut.setAccessibleName(say("Close this hint"))
        shut.setAccessibleDescription(words.text())
        shut.clicked.connect(lambda: self.closed.emit(row.name))
        self.button = shut
        layout = QVBoxLayout(self)
        sides = {Side.TOP: (12, 12 + _POINT, 12, 10), Side.LEFT: (12 + _POINT, 12, 12, 10)}
        layout.setContentsMargins(*sides.get(row.side, (12, 12, 12 + _POINT, 10)))
        layout.setSpacing(8)
        layout.addWidget(words)
        layout.addWidget(shut, alignment=Qt.AlignmentFlag.AlignLeft)
        width = round(_WIDTH * enlarged())
        self.resize(width, layout.totalHeightForWidth(width))

    def point_at(self, at: QPoint) -> None:
        """Stand so that the point touches this place of the room, and all of the hint is in the room."""
        size, room = self.size(), self.parentWidget().rect()
        corner = {
            Side.TOP: QPoint(at.x() - size.width() // 2, at.y()),
            Side.LEFT: QPoint(at.x(), at.y() - size.height() // 2),
            Side.RIGHT: QPoint(at.x() - size.width(), at.y() - size.height() // 2),
        }[self.row.side]
        box = QRect(corner, size)
        box.moveRight(min(box.right(), room.right() - 4))
        box.moveLeft(max(box.left(), 4))
        box.moveBottom(min(box.bottom(), room.bottom() - 4))
        self.move(box.topLeft())
        self.raise_()

    # Qt overrides

    def paintEvent(self, event: QPaintEvent) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(tones.muted), 1))
        painter.setBrush(QColor(tones.control))
        painter.drawPath(_bubble(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), self.row.side))
        painter.end()


def _bubble(area: QRectF, side: Side) -> QPainterPath:
    """A rounded box with a point in the middle of one side."""
    top, left, right = ((_POINT if side is one else 0) for one in (Side.TOP, Side.LEFT, Side.RIGHT))
    body, point = QPainterPath(), QPainterPath()
    box = area.adjusted(left, top, -right, 0)
    body.addRoundedRect(box, _CORNER, _CORNER)
    tip, along = {
        Side.TOP: (QPointF(area.center().x(), area.top()), QPointF(_POINT, 0)),
        Side.LEFT: (QPointF(area.left(), area.center().y()), QPointF(0, _POINT)),
        Side.RIGHT: (QPointF(area.right(), area.center().y()), QPointF(0, _POINT)),
    }[side]
    inwards = {Side.TOP: QPointF(0, 1), Side.LEFT: QPointF(1, 0), Side.RIGHT: QPointF(-1, 0)}[side] * (_POINT + 1)
    point.moveTo(tip)
    point.lineTo(tip + inwards + along)
    point.lineTo(tip + inwards - along)
    point.closeSubpath()
    return body.united(point)
