"""Keys to be ticked: the twelve major ones and the twelve minor ones in the order of fifths."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from desktop.plan.axes import short_words
from desktop.plan.panel_parts import button
from desktop.words import say
from lessonkit.curriculum.coverage import TWELVE_MAJOR, TWELVE_MINOR
from lessonkit.curriculum.seen import Axis, plain_key
from lessonkit.theory.key import Key

ACROSS = 6


class KeyTicks(QWidget):
    """A button for each key; ``edited`` tells the keys that are ticked, in their order."""

    edited = Signal(tuple)
    """Other keys are ticked."""

    def __init__(self) -> None:
        super().__init__()
        self._other: tuple[Key, ...] = ()
        self.buttons: dict[Key, QToolButton] = {}
        grid = QGridLayout()
        grid.setSpacing(2)
        keys = (*TWELVE_MAJOR, *TWELVE_MINOR)
        for place, (key, words) in enumerate(zip(keys, short_words(Axis.KEY, keys), strict=True)):
            one = QToolButton()
            one.setText(words)
            one.setAccessibleName(str(key))
            one.setToolTip(str(key))
            one.setCheckable(True)
            one.setProperty("segment", True)
            one.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            one.setFixedWidth(48)
            one.clicked.connect(self._report)
            self.buttons[key] = one
            grid.addWidget(one, place // ACROSS, place % ACROSS)
        self.all_major = button(say("All major"), say("Tick all major keys"), lambda: self._tick(TWELVE_MAJOR))
        self.no_key = button(say("Any key"), say("Tick no key, so that any key will do"), lambda: self._tick(()))
        row = QHBoxLayout()
        row.setSpacing(8)
        row.addWidget(self.all_major)
        row.addWidget(self.no_key)
        row.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addLayout(grid)
        column.addLayout(row)

    @property
    def keys(self) -> tuple[Key, ...]:
        """The keys that are ticked; those of other modes stay as they are."""
        return (*(key for key, one in self.buttons.items() if one.isChecked()), *self._other)

    def show_keys(self, keys: Iterable[Key]) -> None:
        """Tick these keys and report nothing."""
        wanted = [plain_key(key) for key in keys]
        self._other = tuple(key for key in wanted if key not in self.buttons)
        for key, one in self.buttons.items():
            one.setChecked(key in wanted)

    def _tick(self, keys: Iterable[Key]) -> None:
        self.show_keys(keys)
        self._report()

    def _report(self) -> None:
        self.edited.emit(self.keys)
