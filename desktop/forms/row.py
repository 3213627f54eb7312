"""One row of a form: words, an editor, and below it the reason when what was typed cannot be. Rows stand in groups."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import QColor, QEnterEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from desktop.forms.editor import Editor
from desktop.forms.scrub_label import ScrubLabel
from desktop.frame import MOST_LARGER
from desktop.theme import enlarged
from desktop.words import say, within

LABEL_WIDTH, INDENT = 102, 8
"""The width of the words at the left and the room before them, in pixels."""

RESET_WIDTH = 16
"""The width of the button that resets a row, in pixels."""


class Row(QWidget):
    """The words of a setting beside its editor.

    A row that ``departs`` from what is usual has a bar at its left and a button that resets it at its right.
    """

    explained = Signal(str)
    """The hand is here; this is what helps."""

    reset_asked = Signal()
    """The usual value is wanted again."""

    settled = Signal()
    """A number was let go."""

    def __init__(self, label: str, editor: Editor, help: str = "", has_usual: bool = False) -> None:
        super().__init__()
        label, help = say(label), say(help)
        self.editor = editor
        self.help = help
        self.departs = False
        words = self._words(label)
        words.setObjectName("rowLabel")
        if not editor.is_wide:
            words.setFixedWidth(round(LABEL_WIDTH * min(enlarged(), MOST_LARGER)))
        words.setBuddy(editor.focus)
        words.setWordWrap(True)
        editor.focus.setAccessibleName(label)
        if help:
            editor.focus.setAccessibleDescription(help)
            words.setToolTip(help)
        self._reason = quiet_label("")
        self._reason.setObjectName("reason")
        self._reason.setWordWrap(True)
        self._reason.hide()
        grid = QGridLayout(self)
        grid.setContentsMargins(INDENT, 0, 0, 0)
        grid.setHorizontalSpacing(4)
        grid.setVerticalSpacing(4)
        self.reset = self._reset_button(label)
        if has_usual:
            grid.addWidget(self.reset, 1 if editor.is_wide else 0, 2, Qt.AlignmentFlag.AlignVCenter)
        if editor.is_wide:
            grid.addWidget(words, 0, 0, 1, 2)
            grid.addWidget(editor, 1, 0, 1, 2)
            grid.addWidget(self._reason, 2, 0, 1, 2)
        else:
            grid.addWidget(words, 0, 0, Qt.AlignmentFlag.AlignVCenter)
            grid.addWidget(editor, 0, 1)
            grid.addWidget(self._reason, 1, 1)
        grid.setColumnStretch(1, 1)
        editor.refused.connect(self.show_reason)

    def show_departure(self, departs: bool, back: str) -> None:
        """Mark whether the value departs from the usual one; ``back`` says what resetting does."""
        self.reset.setVisible(departs)
        self.reset.setToolTip(back)
        self.reset.setAccessibleDescription(back)
        if departs != self.departs:
            self.departs = departs
            self.update()

    def _words(self, label: str) -> QLabel:
        if not self.editor.can_step:
            return quiet_label(label)
        words = ScrubLabel(label)
        words.stepped.connect(self.editor.step)
        words.settled.connect(self.settled)
        return words

    def _reset_button(self, label: str) -> QToolButton:
        button = QToolButton(self)
        button.setProperty("reset", True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setFixedSize(RESET_WIDTH, 22)
        button.setAccessibleName(say("Reset {setting}", setting=within(label)))
        # Its room is kept, so that nothing moves when it comes.
        policy = button.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        button.setSizePolicy(policy)
        button.clicked.connect(self.reset_asked)
        button.hide()
        return button

    @property
    def reason(self) -> str:
        """Why what was typed cannot be; empty when all is well."""
        return self._reason.text()

    def show_reason(self, reason: str) -> None:
        """Say why what was typed cannot be, or that all is well with an empty text."""
        self._reason.setText(say(reason))
        self._reason.setVisible(bool(reason))

    # Qt overrides

    def paintEvent(self, event: QPaintEvent) -> None:
        if self.departs:
            painter = QPainter(self)
            painter.fillRect(QRectF(0, 2, 2, self.height() - 4), QColor(self.palette().windowText().color()))
            painter.end()

    def enterEvent(self, event: QEnterEvent) -> None:
        self.explained.emit(self.help)
        super().enterEvent(event)

    def leaveEvent(self, event: QEvent) -> None:
        self.explained.emit("")
        super().leaveEvent(event)


class Group(QWidget):
    """Rows under a caption; a group whose rows are all hidden hides itself."""

    def __init__(self, caption: str) -> None:
        super().__init__()
        self.rows: list[Row] = []
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 16)
        self._layout.setSpacing(8)
        words = quiet_label(say(caption))
        words.setObjectName("groupCaption")
        words.setContentsMargins(INDENT, 0, 0, 0)
        self._layout.addWidget(words)

    def add(self, row: Row) -> None:
        """Put a row at the end."""
        self.rows.append(row)
        self._layout.addWidget(row)

    def hide_if_empty(self) -> None:
        """Show the group where a row of it applies."""
        self.setVisible(any(not row.isHidden() for row in self.rows))


def quiet_label(text: str) -> QLabel:
    """A label that shows text as it is: what a teacher typed is never read as markup."""
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label
