"""The keys of a piano painted: where each lies, and how it looks when a hand holds it down."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen

from desktop.theme import Tones, interface_font
from desktop.words import say
from lessonkit.drills.moments import KeyDown
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import BLACK_KEY_MM, WHITE_KEY_MM, centre_mm, is_black
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.pitch import HIGHEST_MIDI, LOWEST_MIDI

_FIRST = centre_mm(LOWEST_MIDI) - WHITE_KEY_MM / 2
_ACROSS = centre_mm(HIGHEST_MIDI) + WHITE_KEY_MM / 2 - _FIRST
_BLACK_HIGH = 0.62
_IVORY, _EBONY, _EDGE = "#f6f3ec", "#2b2825", "#9a9287"
_HELD_WHITE, _HELD_BLACK = "#b9b2a6", "#8a8378"
"""The keys look alike by day and by night; a held key is grey and carries its finger."""


@lru_cache(maxsize=8)
def key_rects(width: float, height: float) -> dict[int, QRectF]:
    """The rectangle of each key of the piano, white keys first, on an area of a size."""
    scale = width / _ACROSS
    rects: dict[int, QRectF] = {}
    keys = range(LOWEST_MIDI, HIGHEST_MIDI + 1)
    for midi in sorted(keys, key=is_black):
        wide = (BLACK_KEY_MM + 2.5 if is_black(midi) else WHITE_KEY_MM) * scale
        left = (centre_mm(midi) - _FIRST) * scale - wide / 2
        rects[midi] = QRectF(left, 0, wide, height * (_BLACK_HIGH if is_black(midi) else 1.0))
    return rects


def key_at(point: QPointF, rects: dict[int, QRectF]) -> int | None:
    """The key under a point; black keys lie above white ones."""
    return next((midi for midi in reversed(rects) if rects[midi].contains(point)), None)


def paint_keys(
    painter: QPainter,
    rects: dict[int, QRectF],
    down: Collection[KeyDown],
    used: Collection[int],
    marked: int | None,
    tones: Tones,
) -> None:
    """All keys; those that are down by hand and finger, a dot on those that the drill uses, a frame on a marked one."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    held = {one.pitch.midi: one for one in down}
    for midi, rect in rects.items():
        painter.setPen(QPen(QColor(_EDGE), 1))
        painter.setBrush(QColor(_EBONY if is_black(midi) else _IVORY))
        painter.drawRect(rect)
        if midi in held:
            _paint_held(painter, rect, held[midi])
        elif midi in used:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(_HELD_BLACK if is_black(midi) else _EDGE))
            painter.drawEllipse(QPointF(rect.center().x(), rect.bottom() - 8), 2.5, 2.5)
        elif midi % 12 == 0:
            painter.setPen(QColor(_EDGE))
            painter.setFont(interface_font(7.5))
            name = rect.adjusted(0, 0, 0, -2)
            painter.drawText(name, Qt.AlignmentFlag.AlignBottom | Qt.AlignmentFlag.AlignHCenter, f"C{midi // 12 - 1}")
        if midi == marked:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(tones.mark if not tones.is_dark else tones.accent), 2.5))
            painter.drawRect(rect.adjusted(1, 1, -1, -1))


def _paint_held(painter: QPainter, rect: QRectF, key: KeyDown) -> None:
    """Right hand: an even grey. Left hand: hatched. What is held over has no ring around its finger."""
    is_dark = is_black(key.pitch.midi)
    inside = rect.adjusted(1, 1, -1, -1)
    painter.fillRect(inside, QColor(_HELD_BLACK if is_dark else _HELD_WHITE))
    if key.hand is Hand.LEFT:
        painter.fillRect(inside, QBrush(QColor("#2b2825"), Qt.BrushStyle.BDiagPattern))
    size = min(rect.width() - 1.5, 17.0)
    middle = QPointF(rect.center().x(), rect.bottom() - size / 2 - 4)
    painter.setBrush(QColor(_IVORY))
    painter.setPen(QPen(QColor("#141312"), 1.6) if key.is_struck else Qt.PenStyle.NoPen)
    painter.drawEllipse(middle, size / 2, size / 2)
    if key.finger is not None:
        painter.setPen(QColor("#141312"))
        painter.setFont(interface_font(size * 0.5, is_bold=True))
        area = QRectF(middle.x() - size, middle.y() - size, 2 * size, 2 * size)
        painter.drawText(area, Qt.AlignmentFlag.AlignCenter, str(key.finger))


def names_of(down: Collection[KeyDown], style: LabelStyle = PLAIN_STYLE) -> Iterator[str]:
    """The keys that are down in words: ``right hand C4 with 1``."""
    for hand in Hand:
        keys = [one for one in down if one.hand is hand]
        if keys:
            fingers = ", ".join(
                say("{pitch} with {finger}", pitch=style.pitch(one.pitch), finger=one.finger)
                if one.finger
                else style.pitch(one.pitch)
                for one in keys
            )
            yield f"{say(f'{hand.value} hand')} {fingers}"
