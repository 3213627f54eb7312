"""The small field at a finger number: 1 to 5, back to the program, and where typed fingers hold. It edits nothing."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QKeyEvent
from PySide6.QtWidgets import QButtonGroup, QFrame, QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from desktop.forms.row import quiet_label
from desktop.words import say

WIDTH = 316
"""The width of the field, in pixels."""

_FINGERS = {getattr(Qt.Key, f"Key_{finger}"): finger for finger in range(6)}
_BACK = {Qt.Key.Key_Delete, Qt.Key.Key_Backspace}
_STEPS = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}
_ENDS = {Qt.Key.Key_Escape, Qt.Key.Key_Return, Qt.Key.Key_Enter}


class FingerField(QFrame):
    """Shows a finger and reports wishes; the keys work wherever the focus is inside it."""

    typed = Signal(int)
    """This finger is wanted; 0 gives it back to the program."""

    hold_chosen = Signal(bool)
    """Typed fingers are to hold in every key, or in one only."""

    stepped = Signal(int)
    """The next finger is wanted, or the one before."""

    left = Signal()
    """The hand is done."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("fingerField")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFixedWidth(WIDTH)
        self.setAttribute(Qt.WidgetAttribute.WA_NoMousePropagation)
        self.setCursor(Qt.CursorShape.ArrowCursor)
        self._note = quiet_label("")
        self._note.setObjectName("fieldCaption")
        self._state = quiet_label("")
        self._state.setObjectName("quiet")
        self._fingers = QButtonGroup(self)
        self._fingers.setExclusive(False)
        self._back = _segment(say("Back to the program"))
        self._back.setToolTip(say("The program finds this finger again (0 or Delete)"))
        self._back.clicked.connect(lambda: self.typed.emit(0))
        self._hold_caption = quiet_label(say("Holds"))
        self._hold_caption.setObjectName("quiet")
        self._every = _segment(say("In every key"))
        self._one = _segment(say("In this key only"))
        self._every.clicked.connect(lambda: self.hold_chosen.emit(True))
        self._one.clicked.connect(lambda: self.hold_chosen.emit(False))
        self._reason = quiet_label("")
        self._reason.setObjectName("reason")
        self._reason.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 8, 12, 8)
        layout.setSpacing(6)
        layout.addLayout(_row(self._note, self._state, is_spread=True))
        numbers = [self._number(finger) for finger in range(1, 6)]
        layout.addLayout(_row(*numbers, self._back))
        layout.addLayout(_row(self._hold_caption, self._every, self._one))
        layout.addWidget(self._reason)

    def show_finger(self, note: str, finger: int | None, is_typed: bool) -> None:
        """Show the finger of a note, and whether the teacher typed it."""
        self._note.setText(note)
        state = say("no finger") if finger is None else say("typed") if is_typed else say("found by the program")
        self._state.setText(state)
        for button in self._fingers.buttons():
            button.setChecked(self._fingers.id(button) == finger)
        self._back.setEnabled(is_typed)
        said = f"{note}: {'no finger' if finger is None else f'finger {finger}, {state}'}"
        self.setAccessibleName(said)
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    def show_hold(self, in_every_key: bool, key: str) -> None:
        """Show where typed fingers hold."""
        self._one.setText(say("In {key} only", key=key))
        self._every.setChecked(in_every_key)
        self._one.setChecked(not in_every_key)

    def show_reason(self, reason: str) -> None:
        """Say what is amiss; nothing with an empty text."""
        self._reason.setText(reason)
        self._reason.setVisible(bool(reason))
        self.setAccessibleDescription(reason)
        self.adjustSize()

    @property
    def reason(self) -> str:
        """What is amiss; empty when nothing is."""
        return self._reason.text()

    def button_of(self, finger: int) -> QToolButton:
        """The button of a finger; 0 is the way back to the program."""
        button = self._fingers.button(finger) if finger else self._back
        assert isinstance(button, QToolButton)
        return button

    def hold_button(self, in_every_key: bool) -> QToolButton:
        """The button for every key, or for one only."""
        return self._every if in_every_key else self._one

    def _number(self, finger: int) -> QToolButton:
        button = _segment(str(finger))
        button.setAccessibleName(say("Finger {finger}", finger=finger))
        button.setFixedWidth(28)
        button.clicked.connect(lambda: self.typed.emit(finger))
        self._fingers.addButton(button, finger)
        return button

    # Qt overrides

    def event(self, event: QEvent) -> bool:
        # The window's own keys, such as Delete, are the field's while it is open.
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride and _is_ours(event):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = Qt.Key(event.key())
        if not _is_ours(event):
            super().keyPressEvent(event)
        elif key in _ENDS:
            self.left.emit()
        elif key in _STEPS:
            self.stepped.emit(_STEPS[key])
        else:
            self.typed.emit(_FINGERS.get(key, 0))


def _is_ours(event: QKeyEvent) -> bool:
    is_plain = not event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
    return is_plain and event.key() in {*_FINGERS, *_BACK, *_STEPS, *_ENDS}


def _segment(words: str) -> QToolButton:
    button = QToolButton()
    button.setText(words)
    button.setCheckable(True)
    button.setAutoRaise(True)
    button.setProperty("segment", True)
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.setAccessibleName(words)
    return button


def _row(*widgets: QWidget, is_spread: bool = False) -> QHBoxLayout:
    row = QHBoxLayout()
    row.setSpacing(2)
    for place, widget in enumerate(widgets):
        if is_spread and place:
            row.addStretch(1)
        row.addWidget(widget)
    if not is_spread:
        row.addStretch(1)
    return row
