"""Sides of sheets one below the other, as they will come out of the printer. They are looked at and not edited."""

from __future__ import annotations

from collections import OrderedDict
from typing import cast

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPixmap, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QApplication, QFrame

from desktop.painting.qt_painter import QtPainter
from desktop.preview.page_layout import PageLayout, fitting
from desktop.preview.pages_view import ZOOMS
from desktop.preview.soft_edge import SoftEdge
from desktop.theme import Tones, tones_of
from desktop.words import say
from lessonkit.drawing.shapes import Box, paint
from lessonkit.handout.imposition import Sheet
from lessonkit.pages.page import Page

MOST_KEPT = 10
"""How many sides are kept as pixels."""


class SheetsView(QAbstractScrollArea):
    """Sides of sheets at a zoom."""

    moved = Signal()
    """Other sheets are in sight."""

    zoomed = Signal()
    """The zoom is another."""

    changed = Signal()
    """There are other sheets."""

    back_asked = Signal()
    """The hand wants to go back."""

    def __init__(self) -> None:
        super().__init__()
        self._sheets: tuple[Sheet, ...] = (Sheet(595.0, 842.0, ()),)
        self._chosen_zoom: float | None = None
        self._edge = SoftEdge()
        self._kept: OrderedDict[int, QPixmap] = OrderedDict()
        self._look: tuple[float, float, str, str] = (0.0, 0.0, "", "")
        self._layout = PageLayout(self.pages, 1.0, 1, 800)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("Pages as they will be printed"))
        self.viewport().setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    @property
    def sheets(self) -> tuple[Sheet, ...]:
        """What is shown."""
        return self._sheets

    @property
    def pages(self) -> tuple[Page, ...]:
        """Each side of a sheet as an empty page of its size."""
        return tuple(Page(one.width, one.height, number, ()) for number, one in enumerate(self._sheets, 1))

    @property
    def page_layout(self) -> PageLayout:
        """Where everything lies."""
        return self._layout

    @property
    def zoom(self) -> float:
        """The zoom as it is now."""
        return self._layout.zoom

    @property
    def page_number(self) -> int:
        """The side in the middle of the view, counted from 1."""
        return self._layout.page_at(self._layout.size[0] / 2, self._top + self.viewport().height() / 2) + 1

    def show_sheets(self, sheets: tuple[Sheet, ...]) -> None:
        """Show these."""
        self._sheets = sheets
        self._kept.clear()
        self._lay_out()
        self.changed.emit()

    def zoom_in(self) -> None:
        """One step larger."""
        self._set_zoom(next((step for step in ZOOMS if step > self.zoom + 0.01), ZOOMS[-1]))

    def zoom_out(self) -> None:
        """One step smaller."""
        self._set_zoom(next((step for step in reversed(ZOOMS) if step < self.zoom - 0.01), ZOOMS[0]))

    def zoom_to_paper(self) -> None:
        """The paper's own size."""
        self._set_zoom(1.0)

    def fit_width(self) -> None:
        """Let the zoom follow the window."""
        self._set_zoom(None)

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

    @property
    def _left(self) -> int:
        return self.horizontalScrollBar().value()

    @property
    def _top(self) -> int:
        return self.verticalScrollBar().value()

    def _set_zoom(self, zoom: float | None) -> None:
        self._chosen_zoom = zoom
        self._lay_out()
        self.zoomed.emit()

    def _lay_out(self) -> None:
        pages, width = self.pages, self.viewport().width()
        zoom, columns = fitting(pages[0], width, len(pages))
        if self._chosen_zoom is not None:
            zoom, columns = self._chosen_zoom, 1
        self._layout = PageLayout(pages, zoom, columns, width)
        across, down = self._layout.size
        view = self.viewport().size()
        for bar, whole, part in (
            (self.horizontalScrollBar(), across, view.width()), (self.verticalScrollBar(), down, view.height()),
        ):  # fmt: skip
            bar.setRange(0, max(0, round(whole) - part))
            bar.setPageStep(part)
            bar.setSingleStep(48)
        self.viewport().update()
        self.moved.emit()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(900, 800)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()
        if self._chosen_zoom is None:
            self.zoomed.emit()

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
        bar = self.verticalScrollBar()
        match event.key():
            case Qt.Key.Key_Escape:
                self.back_asked.emit()
            case Qt.Key.Key_Home:
                bar.setValue(0)
            case Qt.Key.Key_End:
                bar.setValue(bar.maximum())
            case _:
                super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_in() if event.angleDelta().y() > 0 else self.zoom_out()
            event.accept()
        else:
            super().wheelEvent(event)


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
