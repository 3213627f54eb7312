"""A dashed outline around the notes that a hand cannot span, with the reason where the hand rests on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QApplication

from desktop.hands.finger_places import note_places
from desktop.hands.judging import Judging, Verdict
from desktop.hands.words import sentence
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.theme import tones_of
from desktop.words import say
from lessonkit.drills.reach_marks import ReachMark
from lessonkit.drills.realise import realise

_AROUND, _SAME_LINE = 4.0, 120.0


class ReachOutlines(Overlay):
    """The outlines of everything that is too wide on the pages."""

    def __init__(self, judging: Judging) -> None:
        self._judging = judging
        self._kept: tuple[PageLayout, dict[str, tuple[tuple[ReachMark, ...], list[tuple[QRectF, ReachMark]]]]] | None
        self._kept = None

    def outlines(self, layout: PageLayout) -> Iterator[tuple[QRectF, ReachMark]]:
        """Each outline on the desk with what it means; worked out once for each layout of the pages."""
        if self._kept is None or self._kept[0] is not layout:
            self._kept = layout, {}
        known = self._kept[1]
        for block_id in layout.block_boxes:
            verdict = self._judging.verdict(block_id)
            if verdict is None or not verdict.reach:
                continue
            if block_id not in known or known[block_id][0] is not verdict.reach:
                known[block_id] = verdict.reach, _outlines(layout, block_id, verdict)
            yield from known[block_id][1]

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        pen = QPen(QColor(tones.page_ink), 1.2, Qt.PenStyle.DashLine)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for area, _ in self.outlines(layout):
            if shown.intersects(area):
                painter.setPen(pen)
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRoundedRect(area, 4, 4)

    def tip(self, layout: PageLayout, point: QPointF) -> str:
        found = next((mark for area, mark in self.outlines(layout) if area.contains(point)), None)
        if found is None:
            return ""
        return "\n".join([sentence(say(found.sentence)), *(sentence(say(advice)) for advice in found.advice)])


def _outlines(layout: PageLayout, block_id: str, verdict: Verdict) -> list[tuple[QRectF, ReachMark]]:
    boxes: dict[int, QRectF] = {}
    for place in note_places(layout, block_id).values():
        box = QRectF(QPointF(place.box.left, place.box.top), QPointF(place.box.right, place.box.bottom))
        boxes[place.event] = boxes[place.event].united(box) if place.event in boxes else box
    found = []
    for mark in verdict.reach:
        area = boxes.get(mark.event)
        if area is not None:
            after = boxes.get(_next_of_line(verdict, mark))
            # The next note may stand on the next line.
            if after is not None and after.left() > area.left() and abs(after.top() - area.top()) < _SAME_LINE:
                area = area.united(after)
            found.append((area.adjusted(-_AROUND, -_AROUND, _AROUND, _AROUND), mark))
    return found


def _next_of_line(verdict: Verdict, mark: ReachMark) -> int:
    """The note to which two fingers would have to open, where the mark is of a line; -1 where it is of a chord."""
    events = realise(verdict.drill, verdict.setting).events
    if len(events[mark.event].pitches) > 1:
        return -1
    later = range(mark.event + 1, len(events))
    return next((index for index in later if events[index].hand is mark.hand and events[index].pitches), -1)
