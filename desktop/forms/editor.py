"""What every editor of a setting has in common: a part that takes the keys, a value it shows, another that it wants."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject, Signal
from PySide6.QtWidgets import QHBoxLayout, QWidget

from lessonkit.drills.setting import Setting


class Editor(QWidget):
    """What all editors have. ``focus`` is the part that takes the keys, and carries the accessible name."""

    edited = Signal(object)
    """Another value is wanted."""

    refused = Signal(str)
    """What was typed is no value, for this reason; empty when it is one again."""

    is_wide = False
    """Whether it needs the whole width of the form, its words above it."""

    can_step = False
    """Whether it has a next and a last value, so that its words can be drawn to step it."""

    def __init__(self, focus: QWidget) -> None:
        super().__init__()
        self.focus = focus
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(focus, 1)
        self.setFocusProxy(focus)
        focus.installEventFilter(self)

    def show_value(self, value: Any, setting: Setting) -> None:
        """Show a value; the setting says what a value that follows the lesson comes to."""
        raise TypeError(f"{type(self).__name__} does not say how it shows a value")

    def step(self, by: int) -> None:
        """Go so many values further; for those that can."""

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        # The wheel scrolls the form; a value changes under it only once it has been chosen.
        if event.type() == QEvent.Type.Wheel and not self.focus.hasFocus():
            event.ignore()
            return True
        return super().eventFilter(watched, event)
