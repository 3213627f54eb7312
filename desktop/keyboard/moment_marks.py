"""A band behind the notes of the moment that the keyboard shows, over the pages and never printed."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import QApplication

from desktop.hands.finger_places import note_places
from desktop.keyboard.keyboard_part import KeyboardPart
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.theme import tones_of

_AROUND = 3.0


class MomentMarks(Overlay):
    """Marks the notes that are struck; before the first step nothing is marked."""

    def __init__(self, part: KeyboardPart) -> None:
        self._part = part
        self.is_stepping = False
        self._kept: tuple[PageLayout, object, list[QRectF]] | None = None

    def boxes(self, layout: PageLayout) -> list[QRectF]:
        """Where the notes of the moment stand on the desk."""
        moment = self._part.moment
        if moment is None or not self.is_stepping or self._part.isHidden():
            return []
        if self._kept is None or self._kept[0] is not layout or self._kept[1] is not moment:
            places = note_places(layout, self._part.block_id)
            found = [places.get((down.event, down.place)) for down in moment.keys if down.is_struck]
            rects = [
                QRectF(QPointF(one.box.left, one.box.top), QPointF(one.box.right, one.box.bottom))
                for one in found
                if one is not None
            ]
            self._kept = layout, moment, [rect.adjusted(-_AROUND, -_AROUND, _AROUND, _AROUND) for rect in rects]
        return self._kept[2]

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        mark = QColor(tones_of(cast(QApplication, QApplication.instance())).mark)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for rect in self.boxes(layout):
            if shown.intersects(rect):
                painter.setPen(mark)
                fill = QColor(mark)
                fill.setAlpha(60)
                painter.setBrush(fill)
                painter.drawRoundedRect(rect, 4, 4)
                painter.setBrush(Qt.BrushStyle.NoBrush)
