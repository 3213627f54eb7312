"""The box in which words are written on the page itself, in the page's own letters."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QFont, QFontMetricsF, QKeyEvent, QTextOption
from PySide6.QtWidgets import QApplication, QFrame, QPlainTextEdit, QWidget

from desktop.editing.live_marks import LiveMarks
from desktop.theme import tones_of
from lessonkit.drawing.shapes import Face
from lessonkit.drills.setting import Setting
from lessonkit.pages.style import TextStyle

PAD = 6
"""The room between the frame and the words, in pixels."""

_STAYS = {Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason, Qt.FocusReason.MenuBarFocusReason}


class WritingBox(QPlainTextEdit):
    """A plain text editor over the page. It grows with its text and says when the hand has left."""

    left = Signal()
    """Writing is over."""

    grown = Signal()
    """The text needs another height."""

    def __init__(self, parent: QWidget, text: str, style: TextStyle, setting: Setting, is_single_line: bool) -> None:
        super().__init__(parent)
        tones = tones_of(cast(QApplication, QApplication.instance()))
        self._style = style
        self._is_single_line = is_single_line
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

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.key() == Qt.Key.Key_Escape or (is_enter and (self._is_single_line or _is_control(event))):
            self.left.emit()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        if event.reason() not in _STAYS:
            self.left.emit()


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
