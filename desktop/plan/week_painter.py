"""How weeks, lessons and holidays look in the list: the week at the left, its lessons as cards beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QApplication, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from desktop.plan.letters import letters
from desktop.plan.week_rows import Kind, PlanRow
from desktop.theme import Tones, enlarged, tones_of

if TYPE_CHECKING:
    from desktop.plan.weeks_view import WeeksView

ROW = Qt.ItemDataRole.UserRole
_Index = QModelIndex | QPersistentModelIndex

LEFT, GUTTER, RIGHT = 24, 176, 24
"""The margins, and the width of what stands at the left of the lessons, in pixels."""

HEIGHTS = {Kind.WEEK: 36, Kind.LESSON: 36, Kind.HOLIDAY: 32}
TWO_LINES = 48
"""The height of each row, and of a lesson about which there is more to say, in pixels."""

_VERTICAL = Qt.AlignmentFlag.AlignVCenter


class WeekPainter(QStyledItemDelegate):
    """Paints one row."""

    def __init__(self, view: WeeksView) -> None:
        super().__init__(view)
        self._view = view

    # Qt overrides

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        row = cast(PlanRow, index.data(ROW))
        high = TWO_LINES if row.kind is Kind.LESSON and row.second else HEIGHTS[row.kind]
        return QSize(200, round(high * enlarged()))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        row = cast(PlanRow, index.data(ROW))
        tones = tones_of(cast(QApplication, QApplication.instance()))
        area = cast(QRect, option.rect)  # type: ignore[attr-defined]
        is_chosen = self._view.currentRow() == index.row()
        has_focus = bool(option.state & QStyle.StateFlag.State_HasFocus)  # type: ignore[attr-defined]
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _PAINTERS[row.kind](painter, area, row, tones, is_chosen)
        if is_chosen and has_focus:
            painter.setPen(QPen(QColor(tones.ink), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(_body(area, row).adjusted(0, 0, -1, -1), 5, 5)
        self._paint_line(painter, area, index.row(), tones)
        painter.restore()

    def _paint_line(self, painter: QPainter, area: QRect, place: int, tones: Tones) -> None:
        if self._view.drop_line is not None and self._view.drop_line[0] == place:
            y = area.top() if self._view.drop_line[1] else area.bottom() - 1
            painter.fillRect(QRect(area.left() + LEFT, y, area.width() - LEFT - RIGHT, 2), QColor(tones.accent))


def _body(area: QRect, row: PlanRow) -> QRect:
    left = LEFT + (GUTTER if row.kind is Kind.LESSON else -8)
    return area.adjusted(left, 3, -RIGHT + 8, -3)


def _paint_week(painter: QPainter, area: QRect, row: PlanRow, tones: Tones, is_chosen: bool) -> None:
    painter.setPen(QColor(tones.edge))
    painter.drawLine(area.left() + LEFT, area.top(), area.right() - RIGHT, area.top())
    if is_chosen:
        _paint_ground(painter, _body(area, row), tones)
    inside = area.adjusted(LEFT, 2, -RIGHT, 0)
    _write(painter, QRect(inside.left(), inside.top(), 72, inside.height()), row.label, tones.ink, 10.5, is_bold=True)
    _write(painter, QRect(inside.left() + 72, inside.top(), GUTTER - 80, inside.height()), row.words, tones.muted, 10.5)
    _write(painter, inside.adjusted(GUTTER + 12, 0, 0, 0), row.second, tones.muted, 10)


def _paint_lesson(painter: QPainter, area: QRect, row: PlanRow, tones: Tones, is_chosen: bool) -> None:
    card = _body(area, row)
    painter.setPen(QColor(tones.edge))
    painter.setBrush(QColor(tones.hover if is_chosen else tones.control))
    painter.drawRoundedRect(card.adjusted(0, 0, -1, -1), 5, 5)
    if is_chosen:
        painter.fillRect(QRect(card.left(), card.top() + 5, 3, card.height() - 10), QColor(tones.accent))
    inside = card.adjusted(12, 4, -12, -4)
    if not row.second:
        _write(painter, inside, row.words, tones.ink, 10.5)
        return
    half = inside.height() // 2
    _write(painter, QRect(inside.left(), inside.top(), inside.width(), half), row.words, tones.ink, 10.5)
    below = QRect(inside.left(), inside.top() + half, inside.width(), half)
    _write(painter, below, row.second, tones.muted, 9)


def _paint_holiday(painter: QPainter, area: QRect, row: PlanRow, tones: Tones, is_chosen: bool) -> None:
    band = _body(area, row)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tones.hover))
    painter.drawRoundedRect(band, 5, 5)
    if is_chosen:
        _paint_ground(painter, band, tones)
    _write(painter, band.adjusted(8, 0, -8, 0), row.words, tones.muted, 10, is_italic=True)


def _paint_ground(painter: QPainter, area: QRect, tones: Tones) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(tones.hover))
    painter.drawRoundedRect(area, 5, 5)
    painter.fillRect(QRect(area.left(), area.top() + 5, 3, area.height() - 10), QColor(tones.accent))


def _write(
    painter: QPainter, area: QRect, words: str, tone: str, size: float, is_bold: bool = False, is_italic: bool = False
) -> None:
    font, measures = letters(size, is_bold, is_italic)
    painter.setFont(font)
    painter.setPen(QColor(tone))
    painter.drawText(area, _VERTICAL, measures.elidedText(words, Qt.TextElideMode.ElideRight, area.width()))


_PAINTERS = {Kind.WEEK: _paint_week, Kind.LESSON: _paint_lesson, Kind.HOLIDAY: _paint_holiday}
