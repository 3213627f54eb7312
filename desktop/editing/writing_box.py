"""The box in which words are written on the page itself, in the page's own letters."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QEvent, QMimeData, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFont, QFontMetricsF, QKeyEvent, QTextOption
from PySide6.QtWidgets import QApplication, QFrame, QPlainTextEdit, QWidget

from desktop.editing.live_marks import LiveMarks
from desktop.editing.markdown_keys import BOLD, ITALIC, go_on_with_list, toggle
from desktop.theme import tones_of
from lessonkit.drawing.shapes import Face
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import clean_line, clean_text
from lessonkit.pages.style import TextStyle

PAD = 6
"""The room between the frame and the words, in pixels."""

_MARKS = {Qt.Key.Key_B: BOLD, Qt.Key.Key_I: ITALIC}
"""With Ctrl."""

_STAYS = {Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason, Qt.FocusReason.MenuBarFocusReason}


class WritingBox(QPlainTextEdit):
    """A plain text editor over the page. It grows with its text and says when the hand has left."""

    left = Signal()
    """Writing is over."""

    grown = Signal()
    """The text needs another height."""

    put_in_asked = Signal()
    """Something is wanted where the caret is."""

    def __init__(self, parent: QWidget, text: str, style: TextStyle, setting: Setting, is_single_line: bool) -> None:
        super().__init__(parent)
        tones = tones_of(cast(QApplication, QApplication.instance()))
        self._style = style
        self._is_single_line = is_single_line
        self.keys_first: Callable[[QKeyEvent], bool] = lambda event: False
        """Whoever lies over the box takes keys before it does."""
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setObjectName("writingBox")
        self.setUndoRedoEnabled(False)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWordWrapMode(QTextOption.WrapMode.WordWrap)
        self.document().setDocumentMargin(PAD)
        self.setPlainText(text)
        self.marks = LiveMarks(self.document(), setting, tones.mark)
        self.document().documentLayout().documentSizeChanged.connect(self.grown)

    def set_scale(self, scale: float) -> None:
        """Write at so many pixels a point."""
        self.setFont(_font(self._style, scale, self.logicalDpiY()))

    def scroll_inside(self, is_needed: bool) -> None:
        """Show a scroll bar where the text is higher than the box may be."""
        bars = Qt.ScrollBarPolicy
        self.setVerticalScrollBarPolicy(bars.ScrollBarAlwaysOn if is_needed else bars.ScrollBarAlwaysOff)

    @property
    def wanted_height(self) -> int:
        """The height that shows all the text, in pixels."""
        lines = max(1, round(self.document().documentLayout().documentSize().height()))
        return round(lines * QFontMetricsF(self.font()).lineSpacing() + 2 * PAD + 2)

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(400, self.wanted_height)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride and isinstance(event, QKeyEvent) and _is_mark(event):
            event.accept()
            return True
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Tab:
            # Tab goes to the next part of the window before a box sees it.
            return self.keys_first(event) or super().event(event)
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if self.keys_first(event):
            return
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if is_enter and _is_control(event):
            self.put_in_asked.emit()
        elif event.key() == Qt.Key.Key_Escape or (is_enter and self._is_single_line):
            self.left.emit()
        elif _is_mark(event) and not self._is_single_line:
            cursor = self.textCursor()
            toggle(cursor, _MARKS[Qt.Key(event.key())])
            self.setTextCursor(cursor)
        elif is_enter and not event.modifiers() and go_on_with_list(cursor := self.textCursor()):
            self.setTextCursor(cursor)
            self.ensureCursorVisible()
        else:
            super().keyPressEvent(event)

    def canInsertFromMimeData(self, source: QMimeData) -> bool:
        return source.hasText()

    def insertFromMimeData(self, source: QMimeData) -> None:
        # Only words come in: no look of another program, and nothing that no page can show.
        text = clean_line(source.text()) if self._is_single_line else clean_text(source.text())
        self.insertPlainText(text)
        self.ensureCursorVisible()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in _STAYS:
            self.left.emit()


def _is_mark(event: QKeyEvent) -> bool:
    return event.key() in _MARKS and event.modifiers() == Qt.KeyboardModifier.ControlModifier


def _is_control(event: QKeyEvent) -> bool:
    return bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)


def _font(style: TextStyle, scale: float, dots_per_inch: int) -> QFont:
    font = QFont()
    font.setFamilies(["Source Serif Pro", "Lessonkit Signs", "Liberation Serif", "serif"])
    font.setPointSizeF(style.size * scale * 72 / dots_per_inch)
    is_bold = style.regular in (Face.SERIF_BOLD, Face.SERIF_BOLD_ITALIC)
    font.setWeight(QFont.Weight.DemiBold if is_bold else QFont.Weight.Normal)
    font.setItalic(style.regular in (Face.SERIF_ITALIC, Face.SERIF_BOLD_ITALIC))
    font.setKerning(False)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font
