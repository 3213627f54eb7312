"""Editors of what is typed: a value on a line, music over several lines, a pitch. Each says why a text is no value."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit

from desktop.forms.editor import Editor
from desktop.words import say
from lessonkit.drills.params import Param
from lessonkit.drills.setting import Setting
from lessonkit.theory.pitch import Pitch

_LINES = 6
"""So many lines of typed music are in sight."""


class TextEditor(Editor):
    """A value that is typed. It counts as soon as it can be read; until then the reason stands below it."""

    def __init__(
        self, read: Callable[[str], Any], text_of: Callable[[Any], str], hint: str = "", is_wide: bool = False
    ) -> None:
        self.line = QLineEdit()
        super().__init__(self.line)
        self.is_wide = is_wide
        self._read_text = read
        self._text_of = text_of
        self._value: Any = None
        self._is_reporting = False
        self.line.setPlaceholderText(hint)
        self.line.textEdited.connect(self._read)
        self.line.editingFinished.connect(self._tidy)

    def show_value(self, value: Any, setting: Setting) -> None:
        self._value = value
        if self._is_reporting:
            # What is being typed is not put in other words under the hand.
            return
        self.line.setText(self._text_of(value))
        self.line.setCursorPosition(0)
        self.refused.emit("")

    def _read(self, text: str) -> None:
        try:
            value = self._read_text(text)
        except ValueError as error:
            self.refused.emit(str(error))
            return
        self._value = value
        self.refused.emit("")
        self._is_reporting = True
        try:
            self.edited.emit(value)
        finally:
            self._is_reporting = False

    def _tidy(self) -> None:
        """What is no value when the hand leaves gives way to the one that counts."""
        if self._value is not None:
            self.line.setText(self._text_of(self._value))
            self.refused.emit("")


class LinesEditor(Editor):
    """Music typed over several lines. It counts as soon as it can be read; until then the reason stands below it."""

    is_wide = True

    def __init__(self, read: Callable[[str], Any], text_of: Callable[[Any], str], hint: str) -> None:
        self.box = QPlainTextEdit()
        super().__init__(self.box)
        self._read_text = read
        self._text_of = text_of
        self._shown = ""
        self._is_showing = False
        self.box.setPlaceholderText(hint)
        self.box.setTabChangesFocus(True)
        self.box.setUndoRedoEnabled(False)
        self.box.setFixedHeight(_LINES * self.box.fontMetrics().lineSpacing() + 16)
        self.box.textChanged.connect(self._read)

    def show_value(self, value: Any, setting: Setting) -> None:
        self._shown = self._text_of(value)
        if self.box.hasFocus() and self._is_value(value):
            # What is being typed is not put in other words under the hand.
            return
        self._write()

    def _is_value(self, value: Any) -> bool:
        try:
            return bool(self._read_text(self.box.toPlainText()) == value)
        except ValueError:
            return False

    def _write(self) -> None:
        self._is_showing = True
        self.box.setPlainText(self._shown)
        self._is_showing = False
        self.refused.emit("")

    def _read(self) -> None:
        if self._is_showing:
            return
        try:
            value = self._read_text(self.box.toPlainText())
        except ValueError as error:
            self.refused.emit(str(error))
            return
        self.refused.emit("")
        self.edited.emit(value)

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self.box.toPlainText() != self._shown:
            # What is no value when the hand leaves gives way to the one that counts.
            self._write()
        return super().eventFilter(watched, event)


class PitchEditor(TextEditor):
    """A pitch, typed or stepped up and down by semitones."""

    can_step = True

    def __init__(self, param: Param) -> None:
        super().__init__(param.from_text, str, "C4")
        self.line.setToolTip(say("Up and Down go by semitones"))

    def step(self, by: int) -> None:
        stepped = _pitch_of(self._value.midi + by)
        if stepped.is_on_keyboard:
            self._value = stepped
            self.line.setText(str(stepped))
            self.edited.emit(stepped)

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            step = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}.get(Qt.Key(event.key()))
            if step is not None:
                self.step(step)
                return True
        return super().eventFilter(watched, event)


def _pitch_of(midi: int) -> Pitch:
    names = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    return Pitch.parse(f"{names[midi % 12]}{midi // 12 - 1}")
