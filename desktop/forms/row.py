"""One row of a form: words, an editor, and below it the reason when what was typed cannot be. Rows stand in groups."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QEnterEvent
from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from desktop.forms.editors import Editor

LABEL_WIDTH = 104
"""The width of the words at the left, in pixels."""


class Row(QWidget):
    """The words of a setting beside its editor."""

    explained = Signal(str)
    """The hand is here; this is what helps."""

    def __init__(self, label: str, editor: Editor, help: str = "") -> None:
        super().__init__()
        self.editor = editor
        self.help = help
        words = quiet_label(label)
        words.setObjectName("rowLabel")
        if not editor.is_wide:
            words.setFixedWidth(LABEL_WIDTH)
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
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(4)
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

    @property
    def reason(self) -> str:
        """Why what was typed cannot be; empty when all is well."""
        return self._reason.text()

    def show_reason(self, reason: str) -> None:
        """Say why what was typed cannot be, or that all is well with an empty text."""
        self._reason.setText(reason)
        self._reason.setVisible(bool(reason))

    # Qt overrides

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
        words = quiet_label(caption)
        words.setObjectName("groupCaption")
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
