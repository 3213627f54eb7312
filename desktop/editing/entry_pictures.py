"""Small pictures of what can be put in, in the lesson's key: drawn one at a time while the window answers, and kept."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import replace
from typing import cast

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QApplication

from desktop.editing.insertable import Insertable
from desktop.open_lesson import OpenLesson
from desktop.painting.qt_painter import QtPainter
from desktop.theme import tones_of
from lessonkit.drawing.shapes import Drawing, Placed, paint
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.setting import Setting
from lessonkit.lesson.lesson import Block, Lesson, Note, PageBreak, Space
from lessonkit.pages.blocks import draw_block, look_of

WIDTH, HEIGHT = 316, 62
"""The size of a picture in pixels."""

_SCALE, _LEAST_SCALE, _MARGIN = 0.92, 0.62, 5.0
"""Pixels in a point, at the least where a staff is high, and the paper around the music in pixels."""

_MOST = 400
"""How many pictures are kept."""

_SAMPLE = Note("{IVmaj7} has the notes {notes IVmaj7}.")


class EntryPictures(QObject):
    """Pictures by what they show, the setting and the tones."""

    drawn = Signal()
    """One more picture is there."""

    def __init__(self, open_lesson: OpenLesson, parent: QObject) -> None:
        super().__init__(parent)
        self._open_lesson = open_lesson
        self._kept: OrderedDict[object, QPixmap] = OrderedDict()
        self._wanted: OrderedDict[object, Block] = OrderedDict()
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._draw_one)

    def picture(self, entry: Insertable, ratio: float) -> QPixmap | None:
        """The picture of an entry; None where it has none or it is still to be drawn."""
        block = _shown(entry)
        if block is None:
            return None
        name = self._name(block, ratio)
        kept = self._kept.get(name)
        if kept is None:
            self._wanted[name] = block
            self._timer.start()
        else:
            self._kept.move_to_end(name)
        return kept

    def forget_wanted(self) -> None:
        """What was asked for is no longer seen."""
        self._wanted.clear()

    def finish(self) -> None:
        """Draw everything that is wanted now; for pictures of the window and for tests."""
        while self._wanted:
            self._draw_one()

    def _name(self, block: Block, ratio: float) -> object:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        return _value(block), self._open_lesson.lesson.setting, ratio, tones.is_dark

    def _draw_one(self) -> None:
        if not self._wanted:
            self._timer.stop()
            return
        name, block = self._wanted.popitem(last=False)
        _, setting, ratio, _ = cast(tuple[object, Setting, float, bool], name)
        if setting == self._open_lesson.lesson.setting:
            self._kept[name] = _pixmap(_music(block, self._open_lesson.lesson), ratio)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
        self.drawn.emit()


def _shown(entry: Insertable) -> Block | None:
    block = entry.make()
    if isinstance(block, Note):
        return block if block.text else _SAMPLE
    return None if isinstance(block, Space | PageBreak) else block


def _value(block: Block) -> object:
    family: DrillFamily | None = getattr(block, "family", None)
    return family if family is not None else replace(block, id="picture")


def _music(block: Block, lesson: Lesson) -> Drawing:
    """The first system of a drill below its caption, or the first line of words."""
    parts = draw_block(block, lesson, look_of(lesson)).parts
    if not parts:
        return Drawing(0, 0, ())
    return next((part.drawing for part in parts if not part.keeps), parts[0].drawing)


def _pixmap(drawing: Drawing, ratio: float) -> QPixmap:
    tones = tones_of(cast(QApplication, QApplication.instance()))
    pixmap = QPixmap(round(WIDTH * ratio), round(HEIGHT * ratio))
    pixmap.fill(tones.paper)
    fitting = (HEIGHT - 2 * _MARGIN) / drawing.height if drawing.height else _SCALE
    scale = max(_LEAST_SCALE, min(_SCALE, fitting))
    painter = QPainter(pixmap)
    painter.scale(ratio * scale, ratio * scale)
    top = (HEIGHT / scale - drawing.height) / 2
    paint(Placed(drawing, _MARGIN / scale, max(top, 0.0)), QtPainter(painter, tones.page_ink, tones.paper))
    painter.end()
    pixmap.setDevicePixelRatio(ratio)
    return pixmap
