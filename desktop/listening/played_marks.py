"""What became of each note of a drill that was played in, laid over the page: told by shapes, and in words on resting.

A soft light is right; with an arrow behind it, late; a cross is another key; a dashed ring, not struck.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QApplication

from desktop.listening.overlays import NotePlaces
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.theme import tones_of
from desktop.words import english, say

if TYPE_CHECKING:
    from lessonkit.sound.judging import Judged, Judgement

_AROUND = 2.5


class PlayedMarks(Overlay):
    """The marks of the drill that was played last."""

    def __init__(self) -> None:
        self._places = NotePlaces()
        self._block_id = ""
        self._judgement: Judgement | None = None

    @property
    def judgement(self) -> Judgement | None:
        """What is shown; None for no marks."""
        return self._judgement

    def show(self, block_id: str, judgement: Judgement | None) -> None:
        """Show these marks instead of others."""
        self._block_id, self._judgement = block_id, judgement

    def marked(self, layout: PageLayout) -> list[tuple[QRectF, Judged]]:
        """Each note on the page with what became of it."""
        if self._judgement is None:
            return []
        places = self._places.of(layout, self._block_id)
        found = []
        for one in self._judgement.notes:
            place = places.get((one.note.event, one.note.pitch)) if one.note is not None else None
            if place is not None:
                box = place.box
                area = QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top)
                found.append((area.adjusted(-_AROUND, -_AROUND, _AROUND, _AROUND), one))
        return found

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        if self._judgement is None:
            return
        tones = tones_of(cast(QApplication, QApplication.instance()))
        mark, ink = QColor(tones.mark), QColor(tones.page_ink)
        light = QColor(mark)
        light.setAlpha(90)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for area, one in self.marked(layout):
            if not shown.intersects(area.adjusted(0, 0, area.width(), 0)):
                continue
            name = one.verdict.name
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(light)
            if name in ("RIGHT", "LATE"):
                painter.drawEllipse(area)
            if name == "LATE":
                painter.setBrush(mark)
                painter.drawPolygon(_arrow(area))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            if name == "MISSED":
                painter.setPen(QPen(ink, 1.4, Qt.PenStyle.DashLine))
                painter.drawEllipse(area.adjusted(-2, -2, 2, 2))
            elif name == "WRONG":
                painter.setPen(QPen(ink, 2))
                wide = area.adjusted(-2, -2, 2, 2)
                painter.drawLine(wide.topLeft(), wide.bottomRight())
                painter.drawLine(wide.bottomLeft(), wide.topRight())

    def tip(self, layout: PageLayout, point: QPointF) -> str:
        found = next((one for area, one in self.marked(layout) if area.contains(point)), None)
        return _words(found) if found is not None else ""


def _arrow(area: QRectF) -> QPolygonF:
    """A small arrowhead behind a note."""
    left, middle, size = area.right() + 1, area.center().y(), area.height() / 2.6
    return QPolygonF([QPointF(left, middle - size), QPointF(left + 1.4 * size, middle), QPointF(left, middle + size)])


_STEPS = {
    (True, False): english("Another key was struck, 1 semitone higher"),
    (False, False): english("Another key was struck, 1 semitone lower"),
    (True, True): english("Another key was struck, {n} semitones higher"),
    (False, True): english("Another key was struck, {n} semitones lower"),
}
"""What is said of a wrong key, by whether it lies higher and whether by more than a semitone."""


def _words(one: Judged) -> str:
    words = {
        "RIGHT": say("Right"),
        "MISSED": say("Not struck"),
        "LATE": say("Late by {late:.1f} seconds", late=one.late),
    }
    if one.verdict.name == "WRONG" and one.struck is not None and one.note is not None:
        off = one.struck.midi - one.note.midi
        steps = _STEPS[off > 0, abs(off) > 1]
        return say(steps, n=abs(off))
    return words.get(one.verdict.name, "")
