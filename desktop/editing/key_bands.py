"""How hard the selected drill is in each key, for the hand that plays it: worked out key by key while nobody types."""

from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import QObject, QTimer, Signal

from desktop.editing.keys import keys_in_fifths
from desktop.open_lesson import OpenLesson
from desktop.selection import Selection
from lessonkit.drills.difficulty import difficulty
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import Band
from lessonkit.lesson.lesson import Drill
from lessonkit.theory.key import Key, Mode

PAUSE = 180
"""Milliseconds without a change after which it begins."""


class KeyBands(QObject):
    """The bands of the selected drill by key, as far as they are found."""

    found = Signal()
    """There are other bands."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, parent: QObject) -> None:
        super().__init__(parent)
        self._open_lesson = open_lesson
        self._selection = selection
        self._asked: tuple[DrillFamily, Setting] | None = None
        self._mode = Mode.MAJOR
        self._bands: dict[Key, Band | None] = {}
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._go_on)
        open_lesson.changed.connect(self._start)
        open_lesson.replaced.connect(self._start)
        selection.changed.connect(self._start)

    def band(self, key: Key) -> Band | None:
        """How hard the selected drill is in a key; None where there is none, or it is not found yet."""
        return self._bands.get(key) if self._asked is not None else None

    def set_mode(self, mode: Mode) -> None:
        """Find the bands of the keys of this mode."""
        if mode is not self._mode:
            self._mode = mode
            self._start()

    def finish(self) -> None:
        """Find everything now; for pictures of the window and for tests."""
        self._start()
        while self._step():
            pass
        self.found.emit()

    def _start(self) -> None:
        drill = self._drill()
        asked = None if drill is None else (drill, _in_any_key(self._open_lesson.lesson.setting))
        if asked != self._asked:
            self._asked = asked
            self._bands = {}
            self.found.emit()
        if asked is not None:
            self._timer.start(PAUSE)
        else:
            self._timer.stop()

    def _go_on(self) -> None:
        if self._step():
            self._timer.start(0)
        else:
            self.found.emit()

    def _step(self) -> bool:
        """Work out one key; says whether there was one left."""
        if self._asked is None:
            return False
        drill, setting = self._asked
        key = next((key for key in keys_in_fifths(self._mode) if key not in self._bands), None)
        if key is None:
            return False
        try:
            self._bands[key] = difficulty(drill, replace(setting, key=key)).band
        except ValueError:
            # In this key the drill cannot be written out.
            self._bands[key] = None
        return True

    def _drill(self) -> DrillFamily | None:
        """The selected drill as it is in one key that the lesson gives."""
        block = self._selection.only
        if not isinstance(block, Drill) or "key" not in block.family.declared():
            return None
        drill = block.family.with_value("key", None)
        return drill.with_value("key_count", 1) if "key_count" in drill.declared() else drill


def _in_any_key(setting: Setting) -> Setting:
    return replace(setting, key=Key.parse("C"))
