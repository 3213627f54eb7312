"""The strip of keys in the order of fifths, each with its signature: the key of the whole lesson at one touch."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QEvent, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QButtonGroup,
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QSpinBox,
)

from desktop.open_lesson import OpenLesson
from desktop.painting.qt_painter import QtPainter
from desktop.painting.signature import signature_of
from desktop.theme import interface_font, tones_of
from lessonkit.drawing.shapes import Placed, paint
from lessonkit.lesson.edits import set_key, set_tempo
from lessonkit.lesson.lesson import FASTEST, SLOWEST
from lessonkit.lesson.live import signature_words
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import NoteName

_MODE_WORDS = {mode: mode.word.capitalize() for mode in Mode}


def keys_in_fifths(mode: Mode) -> tuple[Key, ...]:
    """The fifteen keys of a mode from seven flats to seven sharps."""
    found: dict[int, Key] = {}
    for letter in range(7):
        for alteration in (-1, 0, 1):
            name = NoteName(letter, alteration)
            signature = name.fifths + mode.fifths
            if abs(signature) <= 7:
                found[signature] = Key(name, mode)
    return tuple(found[signature] for signature in sorted(found))


def in_mode(key: Key, mode: Mode) -> Key:
    """The key of another mode on the same tonic, or with the same signature where that one cannot be written."""
    by_signature = {other.signature: other for other in keys_in_fifths(mode)}
    for other in by_signature.values():
        if other.tonic == key.tonic:
            return other
    return by_signature[key.signature]


class KeyStrip(QFrame):
    """The keys of one mode beside each other, with the mode at the left and the tempo at the right."""

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self.setObjectName("keyStrip")
        self._mode = QComboBox()
        self._mode.setAccessibleName("Mode of the lesson's key")
        self._mode.setToolTip("Major, minor or another mode on the same tonic")
        for mode in Mode:
            self._mode.addItem(_MODE_WORDS[mode], mode)
        self._mode.activated.connect(self._choose_mode)
        self._tempo = QSpinBox()
        self._tempo.setRange(SLOWEST, FASTEST)
        self._tempo.lineEdit().setTextMargins(6, 0, 0, 0)
        self._tempo.setPrefix("♩ = ")
        self._tempo.setAccessibleName("Tempo in quarter notes a minute")
        self._tempo.setToolTip("The lesson's tempo in quarter notes a minute")
        self._tempo.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self._tempo.valueChanged.connect(self._choose_tempo)
        self._group = QButtonGroup(self)
        self._keys: list[KeyButton] = []
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(0)
        caption = QLabel("Key")
        caption.setObjectName("quiet")
        caption.setBuddy(self._mode)
        row.addWidget(caption)
        row.addSpacing(8)
        row.addWidget(self._mode)
        row.addSpacing(16)
        for place in range(15):
            button = KeyButton()
            self._group.addButton(button, place)
            self._keys.append(button)
            row.addWidget(button, 1)
        row.addSpacing(16)
        row.addWidget(self._tempo)
        self._group.idClicked.connect(self._choose_key)
        self.setTabOrder(self._mode, self._keys[0])
        open_lesson.changed.connect(self._show)
        open_lesson.replaced.connect(self._show)
        self._show()

    def focus_key(self) -> None:
        """Put the focus on the key that is chosen."""
        checked = self._group.checkedButton()
        (checked or self._keys[7]).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def button_of(self, key: Key) -> KeyButton:
        """The button of a key of the mode that is shown; raises KeyError for another."""
        for button in self._keys:
            if button.key == key:
                return button
        raise KeyError(key)

    def _show(self) -> None:
        lesson = self._open_lesson.lesson
        self._mode.setCurrentIndex(self._mode.findData(lesson.key.mode))
        for button, key in zip(self._keys, keys_in_fifths(lesson.key.mode), strict=True):
            button.show_key(key)
            button.setChecked(key == lesson.key)
        if self._tempo.value() != lesson.tempo:
            self._tempo.blockSignals(True)
            self._tempo.setValue(lesson.tempo)
            self._tempo.blockSignals(False)

    def _choose_key(self, place: int) -> None:
        self._set(self._keys[place].key)

    def _choose_mode(self, place: int) -> None:
        self._set(in_mode(self._open_lesson.lesson.key, self._mode.itemData(place)))

    def _set(self, key: Key) -> None:
        self._open_lesson.edit(f"Key of {key}", set_key(self._open_lesson.lesson, key))

    def _choose_tempo(self, tempo: int) -> None:
        self._open_lesson.edit("Tempo", set_tempo(self._open_lesson.lesson, tempo), "tempo")


class KeyButton(QAbstractButton):
    """One key: its tonic over its signature."""

    def __init__(self) -> None:
        super().__init__()
        self.key = Key.parse("C")
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)

    def show_key(self, key: Key) -> None:
        """Stand for this key from now on."""
        if key == self.key and self.accessibleName():
            return
        self.key = key
        self.setText(f"{key.tonic}m" if key.mode is Mode.MINOR else str(key.tonic))
        self.setAccessibleName(str(key))
        words = signature_words(key)
        self.setAccessibleDescription(words)
        self.setToolTip(f"{key}: {words}")
        self.update()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(56, 60)

    def minimumSizeHint(self) -> QSize:
        return QSize(44, 60)

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
        line = QRectF(area.left(), area.top() + 3, area.width(), 20)
        painter.drawText(line, Qt.AlignmentFlag.AlignCenter, self.text())
        width = min(area.width() - 8, 52.0)
        drawing = signature_of(self.key, 4.0, width)
        left = area.left() + (area.width() - width) / 2
        paint(Placed(drawing, left, area.top() + 20.5), QtPainter(painter, ink, ground))
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(tones.ink), 1.5))
            painter.drawRoundedRect(area.adjusted(-0.5, -0.5, 0.5, 0.5), 5.5, 5.5)
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        self.update()
        super().changeEvent(event)
