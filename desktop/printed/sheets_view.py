"""Sides of sheets one below the other, as they will come out of the printer. They are looked at and not edited."""

from __future__ import annotations

from collections import OrderedDict
from typing import cast

from PySide6.QtCore import QRectF, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QApplication

from desktop.painting.qt_painter import QtPainter
from desktop.preview.desk_view import DeskView
from desktop.preview.page_layout import PageLayout, fitting
from desktop.preview.soft_edge import SoftEdge
from desktop.theme import Tones, tones_of
from desktop.words import say
from lessonkit.drawing.shapes import Box, paint
from lessonkit.handout.imposition import Sheet
from lessonkit.pages.page import Page

MOST_KEPT = 10
"""How many sides are kept as pixels."""


class SheetsView(DeskView):
    """Sides of sheets at a zoom."""

    changed = Signal()
    """There are other sheets."""

    back_asked = Signal()
    """The hand wants to go back."""

    def __init__(self) -> None:
        super().__init__(PageLayout((Page(595.0, 842.0, 1, ()),), 1.0, 1, 800), say("Pages as they will be printed"))
        self._sheets: tuple[Sheet, ...] = (Sheet(595.0, 842.0, ()),)
        self._edge = SoftEdge()
        self._kept: OrderedDict[int, QPixmap] = OrderedDict()
        self._look: tuple[float, float, str, str] = (0.0, 0.0, "", "")

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """What is shown."""
        return self._sheets

    @property
    def pages(self) -> tuple[Page, ...]:
        """Each side of a sheet as an empty page of its size."""
        return tuple(Page(one.width, one.height, number, ()) for number, one in enumerate(self._sheets, 1))

    def show_sheets(self, sheets: tuple[Sheet, ...]) -> None:
        """Show these."""
        self._sheets = sheets
        self._kept.clear()
        self.lay_out()
        self.changed.emit()

    def picture_of(self, place: int) -> QPixmap:
        """A side as pixels, as it is shown."""
        tones, ratio = _tones(), self.devicePixelRatioF()
        look = (self._layout.scale, ratio, tones.page_ink, tones.paper)
        if look != self._look:
            self._look = look
            self._kept.clear()
        kept = self._kept.get(place)
        if kept is None:
            kept = self._kept[place] = painted(self._sheets[place], self._layout.page_boxes[place], *look)
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(place)
        return kept

    def laid_out(self, width: int) -> PageLayout:
        """Where the sides lie: as wide as the window, or one below the other at a zoom."""
        pages = self.pages
        zoom, columns = fitting(pages[0], width, len(pages))
        if self._chosen_zoom is not None:
            zoom, columns = self._chosen_zoom, 1
        return PageLayout(pages, zoom, columns, width)

    # Qt overrides

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self.viewport().update()
        self.moved.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        tones = _tones()
        painter = QPainter(self.viewport())
        painter.translate(-self._left, -self._top)
        shown = QRectF(event.rect()).translated(self._left, self._top)
        painter.fillRect(shown, QColor(tones.desk))
        for place, box in enumerate(self._layout.page_boxes):
            sheet = QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top)
            if shown.intersects(sheet.adjusted(-12, -12, 12, 12)):
                self._edge.paint(painter, sheet, self.devicePixelRatioF(), tones.is_dark)
                painter.drawPixmap(sheet.topLeft(), self.picture_of(place))
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.back_asked.emit()
        else:
            super().keyPressEvent(event)


def _tones() -> Tones:
    return tones_of(cast(QApplication, QApplication.instance()))


def painted(sheet: Sheet, box: Box, scale: float, ratio: float, ink: str, paper: str) -> QPixmap:
    """A side of a sheet as pixels, so many to a point, so many device pixels to a pixel, in these colours."""
    pixmap = QPixmap(round((box.right - box.left) * ratio), round((box.bottom - box.top) * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(QColor(paper))
    painter = QPainter(pixmap)
    painter.scale(scale, scale)
    for laid in sheet.pages:
        painter.save()
        painter.translate(laid.x, laid.y)
        painter.scale(laid.scale, laid.scale)
        hand = QtPainter(painter, ink, paper)
        for part in laid.page.parts:
            paint(part.placed, hand)
        painter.restore()
    painter.end()
    return pixmap
