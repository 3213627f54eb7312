"""One key of the strip: its tonic over its signature, and how hard the selected drill is in it."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QApplication, QSizePolicy

from desktop.painting.dots import dots_of, paint_dots
from desktop.painting.qt_painter import QtPainter
from desktop.painting.signature import signature_of
from desktop.theme import enlarged, interface_font, tones_of
from desktop.words import say
from lessonkit.drawing.shapes import Placed, paint
from lessonkit.hands.difficulty import Band
from lessonkit.lesson.live import signature_words
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle

HEIGHT = 66
"""The height of a key in pixels."""

_DOT, _STEP = 3.5, 6.0

_NAME = 20
"""The height of the line with the tonic, where words are as large as usual."""


class KeyButton(QAbstractButton):
    """A key that can be chosen."""

    def __init__(self) -> None:
        super().__init__()
        self.key, self._style = Key.parse("C"), PLAIN_STYLE
        self.band: Band | None = None
        self.turn = 0
        """At which place a drill goes through this key, counted from 1; 0 where it does not."""
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def show_key(self, key: Key, style: LabelStyle = PLAIN_STYLE) -> None:
        """Stand for this key from now on, called as the lesson names notes."""
        if key == self.key and style.notes is self._style.notes and self.accessibleName():
            return
        self.key, self._style = key, style
        tonic = style.note(key.tonic)
        self.setText(f"{tonic}m" if key.mode is Mode.MINOR else tonic)
        self.setAccessibleName(say(style.key(key)))
        self._describe()

    def show_band(self, band: Band | None) -> None:
        """Show how hard the selected drill is in this key; None where that is not known."""
        if band is not self.band:
            self.band = band
            self._describe()

    def show_turn(self, turn: int) -> None:
        """Show at which place a drill goes through this key; 0 for none."""
        if turn != self.turn:
            self.turn = turn
            self._describe()

    def _describe(self) -> None:
        words = say(signature_words(self.key))
        if self.turn:
            words = say("number {turn} of the drill's keys; {words}", turn=self.turn, words=words)
        if self.band is not None:
            words += say("; the selected drill is {value} here", value=say(self.band.value))
        self.setAccessibleDescription(words)
        self.setToolTip(f"{say(self._style.key(self.key))}: {words}")
        self.update()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(56, _height())

    def minimumSizeHint(self) -> QSize:
        return QSize(44, _height())

    def paintEvent(self, event: QPaintEvent) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        area = QRectF(self.rect()).adjusted(2, 1, -2, -1)
        if self.isChecked():
            ground, ink = tones.accent, tones.on_accent
        elif self.underMouse():
            ground, ink = tones.hover, tones.ink
        else:
            ground, ink = tones.panel, tones.ink
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(ground))
        painter.drawRoundedRect(area, 5, 5)
        painter.setPen(QColor(ink))
        painter.setFont(interface_font(11.5, is_bold=self.isChecked()))
        high = round(_NAME * enlarged())
        line = QRectF(area.left(), area.top() + 3, area.width(), high)
        painter.drawText(line, Qt.AlignmentFlag.AlignCenter, self.text())
        width = min(area.width() - 8, 52.0)
        drawing = signature_of(self.key, 4.0, width)
        left = area.left() + (area.width() - width) / 2
        paint(Placed(drawing, left, area.top() + high + 0.5), QtPainter(painter, ink, ground))
        if self.band is not None:
            across = 3 * _STEP + _DOT
            middle = area.center().x() - across / 2
            paint_dots(painter, dots_of(self.band), middle, area.bottom() - 6, QColor(ink), _DOT, _STEP)
        if self.turn:
            painter.setPen(QColor(ink))
            painter.setFont(interface_font(8.5, is_bold=True))
            corner = area.adjusted(4, 1, -3, 0)
            painter.drawText(corner, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop, str(self.turn))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(tones.ink), 1.5))
            painter.drawRoundedRect(area.adjusted(-0.5, -0.5, 0.5, 0.5), 5.5, 5.5)
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        self.update()
        super().changeEvent(event)


def _height() -> int:
    """The height of a key for words as large as they are."""
    return HEIGHT + round(_NAME * (enlarged() - 1))
