"""What listening lays over the pages: the notes that sound, and where playing would begin."""

from __future__ import annotations

from typing import cast

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF
from PySide6.QtWidgets import QApplication

from desktop.hands.finger_places import FingerPlace, note_places
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout
from desktop.theme import tones_of

_AROUND = 2.5
"""How far the light reaches beyond a notehead, in pixels."""

_NEAR = 14.0
"""How far from a notehead, left or right, a click still means it, in pixels."""

_STRENGTH = 130
"""How strong the light is, of 255; the note stays readable under it."""


class NotePlaces:
    """Where the notes of each drill stand, worked out once for each layout of the pages."""

    def __init__(self) -> None:
        self._layout: PageLayout | None = None
        self._known: dict[str, dict[tuple[int, int], FingerPlace]] = {}

    def of(self, layout: PageLayout, block_id: str) -> dict[tuple[int, int], FingerPlace]:
        """The notes of a drill by event and pitch; those that the page hides are not there."""
        if self._layout is not layout:
            self._layout, self._known = layout, {}
        if block_id not in self._known:
            self._known[block_id] = note_places(layout, block_id)
        return self._known[block_id]


class SoundingNotes(Overlay):
    """A light behind each note that sounds."""

    def __init__(self, places: NotePlaces) -> None:
        self._places = places
        self._lit: frozenset[tuple[str, int, int]] = frozenset()

    @property
    def lit(self) -> frozenset[tuple[str, int, int]]:
        """Drill, event and pitch of each note that is lit."""
        return self._lit

    def light(self, lit: frozenset[tuple[str, int, int]]) -> None:
        """Light these and no others."""
        self._lit = lit

    def lights(self, layout: PageLayout) -> list[QRectF]:
        """Where the lights lie on the desk."""
        found = []
        for block_id, event, pitch in self._lit:
            place = self._places.of(layout, block_id).get((event, pitch))
            if place is not None:
                found.append(_around(place))
        return found

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        if not self._lit:
            return
        colour = QColor(tones_of(cast(QApplication, QApplication.instance())).mark)
        colour.setAlpha(_STRENGTH)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(colour)
        for area in self.lights(layout):
            if shown.intersects(area):
                painter.drawRoundedRect(area, area.height() / 2.4, area.height() / 2.4)


class StartMark(Overlay):
    """A small wedge above the note at which playing begins when it is asked for from there."""

    def __init__(self, places: NotePlaces) -> None:
        self._places = places
        self.note: tuple[str, int] | None = None

    def note_at(self, layout: PageLayout, point: QPointF) -> tuple[str, int] | None:
        """The drill and event of the note that a point of the desk means: the nearest on its line, near enough."""
        block_id = layout.block_at(point.x(), point.y())
        near = [
            (abs((place.box.left + place.box.right) / 2 - point.x()), place.event)
            for place in self._places.of(layout, block_id).values()
            if place.line.top <= point.y() <= place.line.bottom
        ]
        if not near or min(near)[0] > _NEAR:
            return None
        return block_id, min(near)[1]

    def wedge(self, layout: PageLayout) -> QPolygonF | None:
        """The wedge on the desk; None where there is none."""
        if self.note is None:
            return None
        block_id, event = self.note
        known = self._places.of(layout, block_id)
        boxes = [place for (number, _), place in known.items() if number == event]
        if not boxes:
            return None
        middle, size = (boxes[0].box.left + boxes[0].box.right) / 2, 4.0 * layout.zoom
        top = min(place.box.top for place in boxes) - 2.2 * size
        return QPolygonF([QPointF(middle - size, top), QPointF(middle + size, top), QPointF(middle, top + 1.4 * size)])

    # Overlay

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        wedge = self.wedge(layout)
        if wedge is not None and shown.intersects(wedge.boundingRect()):
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(tones_of(cast(QApplication, QApplication.instance())).mark))
            painter.drawPolygon(wedge)


def _around(place: FingerPlace) -> QRectF:
    box = place.box
    return QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top).adjusted(
        -_AROUND, -_AROUND, _AROUND, _AROUND
    )
