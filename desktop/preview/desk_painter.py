"""The desk painted: pages with a soft edge, their drawings out of the cache, and the marks of what is selected."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import QApplication

from desktop.preview.drawing_pixmaps import DrawingPixmaps
from desktop.preview.page_layout import PageLayout
from desktop.preview.soft_edge import SoftEdge
from desktop.theme import Tones, tones_of
from lessonkit.drawing.shapes import Box

_BAR_WIDTH, _BAR_DISTANCE = 3.0, 9.0


class DeskPainter:
    """Paints pages and marks in the application's tones."""

    def __init__(self) -> None:
        self.pixmaps = DrawingPixmaps()
        self._edge = SoftEdge()

    def paint(self, painter: QPainter, shown: QRectF, layout: PageLayout, ratio: float) -> None:
        """The part of the desk that is shown."""
        tones = _tones()
        self.pixmaps.dress(layout.scale, ratio, tones.page_ink, tones.paper)
        painter.fillRect(shown, QColor(tones.desk))
        for place, (page, box) in enumerate(zip(layout.pages, layout.page_boxes, strict=True)):
            sheet = _rect(box)
            if not shown.intersects(sheet.adjusted(-10, -10, 10, 12)):
                continue
            if not sheet.contains(shown):
                self._edge.paint(painter, sheet, ratio, tones.is_dark)
            painter.fillRect(sheet, QColor(tones.paper))
            painter.save()
            painter.setClipRect(sheet.intersected(shown))
            for part in page.parts:
                area = _rect(layout.on_desk(place, part.placed.box)).adjusted(-16, -16, 16, 16)
                if shown.intersects(area):
                    self.pixmaps.draw(part.placed, box.left, box.top, painter)
            painter.restore()

    def paint_bars(self, painter: QPainter, layout: PageLayout, ids: Sequence[str]) -> None:
        """A bar in the margin beside each block."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(_tones().mark))
        for block_id in ids:
            for _, box in layout.block_boxes.get(block_id, ()):
                area = _marked(box)
                painter.drawRoundedRect(QRectF(area.left() - 2, area.top(), _BAR_WIDTH, area.height()), 1.5, 1.5)

    def paint_tint(self, painter: QPainter, layout: PageLayout, ids: Sequence[str], has_focus: bool) -> None:
        """A breath of tint over each block, with an outline where the keys go to the pages."""
        tones = _tones()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tint = QColor(tones.mark)
        tint.setAlpha(18 if has_focus else 12)
        for block_id in ids:
            for _, box in layout.block_boxes.get(block_id, ()):
                area = _marked(box)
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(tint)
                painter.drawRoundedRect(area, 3, 3)
                if has_focus:
                    painter.setBrush(Qt.BrushStyle.NoBrush)
                    outline = QColor(tones.mark)
                    outline.setAlpha(110)
                    painter.setPen(QPen(outline, 1))
                    painter.drawRoundedRect(area, 3, 3)

    def paint_drop(self, painter: QPainter, layout: PageLayout, blocks: Sequence[str], place: int) -> None:
        """A line where dragged blocks would come to stand."""
        line = _drop_line(layout, blocks, place)
        if line is not None:
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            pen = QPen(QColor(_tones().mark), 3)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.drawLine(*line)


def _drop_line(layout: PageLayout, blocks: Sequence[str], place: int) -> tuple[QPointF, QPointF] | None:
    boxes = layout.block_boxes
    before = next((boxes[name][-1][1] for name in reversed(blocks[:place]) if name in boxes), None)
    after = next((boxes[name][0][1] for name in blocks[place:] if name in boxes), None)
    box = before or after
    if box is None:
        return None
    if before is not None and after is not None and before.left == after.left and before.bottom <= after.top:
        y = (before.bottom + after.top) / 2
    else:
        y = before.bottom + 6 if before is not None else box.top - 6
    return QPointF(box.left, y), QPointF(box.right, y)


def _marked(box: Box) -> QRectF:
    return _rect(box).adjusted(-_BAR_DISTANCE, -5, _BAR_DISTANCE, 5)


def _rect(box: Box) -> QRectF:
    return QRectF(box.left, box.top, box.right - box.left, box.bottom - box.top)


def _tones() -> Tones:
    return tones_of(cast(QApplication, QApplication.instance()))
