"""What the lists that paint their own rows have in common."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter
from PySide6.QtWidgets import QListWidget, QStyle

from desktop.theme import Tones


def paint_ground(
    painter: QPainter, area: QRect, state: QStyle.StateFlag, tones: Tones, corner: float
) -> tuple[str, str]:
    """The ground of a row that is chosen or pointed at; answers the tones of its first and of its lesser words."""
    is_chosen = bool(state & QStyle.StateFlag.State_Selected)
    if is_chosen or state & QStyle.StateFlag.State_MouseOver:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(tones.accent if is_chosen else tones.hover))
        painter.drawRoundedRect(area, corner, corner)
    return (tones.on_accent, tones.on_accent) if is_chosen else (tones.ink, tones.muted)


def fitted_lines(text: str, metrics: QFontMetricsF, width: float, most: int) -> list[str]:
    """A text in so many lines at most, the last one cut short where there is more."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most:
        count = 1
        while count < len(words) and metrics.horizontalAdvance(" ".join(words[: count + 1])) <= width:
            count += 1
        lines.append(" ".join(words[:count]))
        words = words[count:]
    if words and lines:
        lines[-1] = metrics.elidedText(" ".join([lines[-1], *words]), Qt.TextElideMode.ElideRight, width)
    return lines


def step_by_key(rows: QListWidget, key: Qt.Key, page: int) -> bool:
    """Go up or down a list by a key that was pressed elsewhere; says whether it is such a key."""
    steps = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: page, Qt.Key.Key_PageUp: -page}
    if key not in steps:
        return False
    rows.setCurrentRow(min(max(rows.currentRow() + steps[key], 0), rows.count() - 1))
    return True
