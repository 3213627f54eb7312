"""The desk with the lesson's pages on it. It shows pages and the selection, and reports where the hand points."""

from __future__ import annotations

from html import escape

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt, QTimer, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QContextMenuEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import QApplication, QToolTip

from desktop.open_lesson import OpenLesson
from desktop.preview.desk_painter import DeskPainter
from desktop.preview.desk_view import DeskView
from desktop.preview.drag import BlockDrag
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.overlay import Overlay
from desktop.preview.page_layout import PageLayout, laid_out
from desktop.selection import Selection
from desktop.spoken import spoken
from desktop.words import say
from lessonkit.drawing.shapes import Box
from lessonkit.lesson.edits import move_blocks
from lessonkit.pages.page import AIMS_PLACE, TITLE_PLACE


class PagesView(DeskView):
    """The pages of the open lesson, one below the other, or two beside each other where there is room."""

    writing_asked = Signal(str)
    """The hand wants to write in a block, or in the title or the aims, named as on the page."""

    menu_asked = Signal(QPoint)
    """The menu of the selection is wanted at a point of the screen."""

    pressed = Signal(QPointF)
    """The hand pressed on a point of the desk."""

    play_asked = Signal(bool)
    """The space bar was pressed, with Shift or without."""

    def __init__(self, open_lesson: OpenLesson, selection: Selection, drawn: DrawnPages) -> None:
        super().__init__(PageLayout(drawn.pages, 1.0, 1, 800), say("Pages"))
        self._open_lesson = open_lesson
        self._selection = selection
        self._drawn = drawn
        self._wants_pairs = False
        self._desk_painter = DeskPainter()
        self._drag = BlockDrag()
        self._asks_to_write = ""
        self._overlays: list[Overlay] = []
        self._pressed: Overlay | None = None
        self._is_written_in = False
        self.was_painted = self.was_painted_whole = False
        """Whether anything has been seen yet, and whether all of it was drawn by then."""
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self._ground.setMouseTracking(True)
        # Drawing ends with the desk: nothing asks what is seen of one that is gone.
        drawn.setParent(self)
        drawn.set_seen(self.seen_blocks)
        drawn.changed.connect(self.lay_out)
        selection.changed.connect(self._show_selection)
        open_lesson.replaced.connect(self._go_to_top)

    def lay_over(self, overlay: Overlay) -> None:
        """Show these marks over the pages, above those that were laid over before."""
        self._overlays.append(overlay)
        self.viewport().update()

    def seen_blocks(self) -> list[str]:
        """The blocks that show now, the selected ones first."""
        top = self.verticalScrollBar().value()
        shown = self._layout.blocks_between(top - 40, top + self.viewport().height() + 40)
        chosen = set(self._selection.ids)
        return sorted(shown, key=lambda name: name not in chosen)

    def box_on_viewport(self, place: str) -> Box | None:
        """Where the first stretch of a block, the title or the aims shows; None where it takes no room."""
        box = self._layout.first_box(place)
        return None if box is None else box.moved(-self._left, -self._top)

    def on_viewport(self, box: Box) -> QRectF:
        """A rectangle of the desk as it shows now."""
        return QRectF(box.left - self._left, box.top - self._top, box.right - box.left, box.bottom - box.top)

    def set_written_in(self, is_written_in: bool) -> None:
        """While words are written in the selected block, only the bar in the margin marks it."""
        self._is_written_in = is_written_in
        self.viewport().update()

    @property
    def shows_pairs(self) -> bool:
        """Whether two pages stand side by side however small they come to be."""
        return self._wants_pairs

    def show_pairs(self, is_wanted: bool) -> None:
        """Put two pages side by side, or leave it to the room there is."""
        self._wants_pairs = is_wanted
        self._set_zoom(None)

    def show_page(self, number: int) -> None:
        """Bring a page, counted from 1, to the top."""
        self.verticalScrollBar().setValue(int(self._layout.page_boxes[number - 1].top) - 16)

    def show_block(self, block_id: str) -> None:
        """Scroll as little as is needed to see a block."""
        box = self._layout.first_box(block_id)
        if box is not None:
            self.show_box(box)

    def show_at_top(self, block_id: str) -> None:
        """Bring a block to the top."""
        box = self._layout.first_box(block_id)
        if box is not None:
            self.verticalScrollBar().setValue(int(box.top) - 24)

    def show_box(self, box: Box) -> None:
        """Scroll as little as is needed to see a rectangle of the desk."""
        bar, height = self.verticalScrollBar(), self.viewport().height()
        if box.top - 24 < bar.value() or box.bottom - box.top > height - 48:
            bar.setValue(int(box.top) - 24)
        elif box.bottom + 24 > bar.value() + height:
            bar.setValue(int(box.bottom) + 24 - height)

    def laid_out(self, width: int) -> PageLayout:
        """Where the pages lie: one below the other, or two beside each other."""
        return laid_out(self._drawn.pages, width, self._chosen_zoom, self._wants_pairs)

    def lay_out(self) -> None:
        """Lay the pages out anew, keeping what is seen where it is."""
        anchor = self._anchor()
        super().lay_out()
        if anchor is not None:
            block_id, was_at = anchor
            box = self._layout.first_box(block_id)
            if box is not None:
                self.verticalScrollBar().setValue(round(box.top - was_at))

    def _anchor(self) -> tuple[str, float] | None:
        """The selected block where it is seen, else the first seen one, and how far below the top it stands."""
        top, height = self._top, self.viewport().height()
        if top == 0:
            return None
        names = [*self._selection.ids, *self._layout.blocks_between(top, top + height)]
        for name in names:
            box = self._layout.first_box(name)
            if box is not None and top <= box.top <= top + height:
                return name, box.top - top
        return None

    def _go_to_top(self) -> None:
        self.verticalScrollBar().setValue(0)

    def _show_selection(self) -> None:
        block = self._selection.only
        if block is not None:
            words = spoken(block, self._open_lesson.lesson.setting)
            self.setAccessibleDescription(words)
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.DescriptionChanged))
            # A block that was just put in has no place before the pages are laid out.
            QTimer.singleShot(0, self._show_selected_block)
        else:
            self.setAccessibleDescription("")
        self.viewport().update()

    def _show_selected_block(self) -> None:
        if self._selection.ids:
            self.show_block(self._selection.ids[0])

    def _place_at(self, point: QPointF) -> str:
        overlay, at = self._overlay_at(point), self._on_desk(point)
        return overlay.block_at(self._layout, at) if overlay else self._layout.block_at(at.x(), at.y())

    def _overlay_at(self, point: QPointF) -> Overlay | None:
        at = self._on_desk(point)
        return next((one for one in reversed(self._overlays) if one.block_at(self._layout, at)), None)

    def _on_desk(self, point: QPointF) -> QPointF:
        return point + QPointF(self._left, self._top)

    def _scroll_at_edge(self, y: float) -> None:
        """A drag that comes to the edge goes on beyond it."""
        bar = self.verticalScrollBar()
        if y < 24:
            bar.setValue(bar.value() - 24)
        elif y > self.viewport().height() - 24:
            bar.setValue(bar.value() + 24)

    def _drop(self) -> None:
        before = self._drag.place
        ids = self._selection.ids
        if before is not None and ids:
            lesson = move_blocks(self._open_lesson.lesson, ids, before)
            self._open_lesson.edit(say("Move block") if len(ids) == 1 else say("Move blocks"), lesson)

    def _hover(self, at: QPointF) -> None:
        changed = [one for one in self._overlays if one.hover(self._layout, at)]
        if changed:
            self.viewport().update()

    def _show_tip(self, event: QHelpEvent) -> None:
        """Say what the mark under the hand means; what a teacher typed is never read as markup."""
        at = self._on_desk(QPointF(event.pos()))
        words = next((tip for one in reversed(self._overlays) if (tip := one.tip(self._layout, at))), "")
        rich = f"<p style='white-space: pre-wrap'>{escape(words)}</p>" if words else ""
        QToolTip.showText(event.globalPos(), rich, self.viewport())

    # Qt overrides

    def viewportEvent(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            self._show_tip(event)
            return True
        if event.type() == QEvent.Type.Leave:
            self._hover(QPointF(-1, -1))
        return super().viewportEvent(event)

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        self.viewport().scroll(dx, dy)
        self.moved.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self.viewport())
        painter.translate(-self._left, -self._top)
        shown = QRectF(event.rect()).translated(self._left, self._top)
        self._desk_painter.paint(painter, shown, self._layout, self.devicePixelRatioF())
        if not self._is_written_in:
            self._desk_painter.paint_tint(painter, self._layout, self._selection.ids, self.hasFocus())
        self._desk_painter.paint_bars(painter, self._layout, self._selection.ids)
        if self._drag.place is not None:
            blocks = self._open_lesson.lesson.blocks
            self._desk_painter.paint_drop(painter, self._layout, [block.id for block in blocks], self._drag.place)
        for overlay in self._overlays:
            overlay.paint(painter, self._layout, shown)
        self.was_painted = True
        self.was_painted_whole = self.was_painted_whole or not self._drawn.waits_for(self.seen_blocks())
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self.pressed.emit(self._on_desk(event.position()))
        self._pressed = self._overlay_at(event.position())
        place, keys = self._place_at(event.position()), event.modifiers()
        self._asks_to_write = ""
        if place in (TITLE_PLACE, AIMS_PLACE):
            self._selection.clear()
            self._asks_to_write = place
        elif not place:
            self._selection.clear()
        elif keys & Qt.KeyboardModifier.ControlModifier:
            self._selection.toggle(place)
        elif keys & Qt.KeyboardModifier.ShiftModifier:
            self._selection.extend_to(place)
        else:
            if self._selection.ids == (place,):
                self._asks_to_write = place
            elif place not in self._selection.ids:
                self._selection.select(place)
            self._drag.press(event.position())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        place = self._place_at(event.position())
        if event.buttons() & Qt.MouseButton.LeftButton and self._selection.ids:
            point = self._on_desk(event.position())
            blocks = [block.id for block in self._open_lesson.lesson.blocks]
            if self._drag.move(event.position(), point, self._layout, blocks, QApplication.startDragDistance()):
                self._asks_to_write = ""
                self._pressed = None
                self._scroll_at_edge(event.position().y())
                self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
                self.viewport().update()
            return
        overlay = self._overlay_at(event.position())
        self._hover(self._on_desk(event.position()))
        is_words = place in (TITLE_PLACE, AIMS_PLACE) or (overlay is not None and overlay.is_typed_into)
        shape = Qt.CursorShape.IBeamCursor if is_words else Qt.CursorShape.ArrowCursor
        self.viewport().setCursor(Qt.CursorShape.PointingHandCursor if place and not is_words else shape)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() != Qt.MouseButton.LeftButton:
            return
        self._drop()
        self._drag.release()
        self.viewport().update()
        pressed, self._pressed = self._pressed, None
        if pressed is not None:
            self._asks_to_write = ""
            if pressed is self._overlay_at(event.position()):
                pressed.click(self._layout, self._on_desk(event.position()))
        if self._asks_to_write:
            self.writing_asked.emit(self._asks_to_write)
            self._asks_to_write = ""

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        place = self._place_at(event.position())
        if place and self._overlay_at(event.position()) is None:
            self.writing_asked.emit(place)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.pressed.emit(self._on_desk(QPointF(event.pos())))
        place = self._place_at(QPointF(event.pos()))
        if place and place not in (TITLE_PLACE, AIMS_PLACE) and place not in self._selection.ids:
            self._selection.select(place)
        self.menu_asked.emit(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        match event.key():
            case Qt.Key.Key_Down if not event.modifiers():
                self._selection.step(1)
            case Qt.Key.Key_Up if not event.modifiers():
                self._selection.step(-1)
            case Qt.Key.Key_Down if event.modifiers() == Qt.KeyboardModifier.ShiftModifier:
                self._selection.extend(1)
            case Qt.Key.Key_Up if event.modifiers() == Qt.KeyboardModifier.ShiftModifier:
                self._selection.extend(-1)
            case Qt.Key.Key_Return | Qt.Key.Key_Enter | Qt.Key.Key_F2 if self._selection.only is not None:
                self.writing_asked.emit(self._selection.ids[0])
            case Qt.Key.Key_Space if not event.isAutoRepeat():
                self.play_asked.emit(bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier))
            case Qt.Key.Key_Escape:
                self._drag.release()
                self._selection.clear()
            case _:
                super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.viewport().update()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.StyleChange):
            self.viewport().update()
        super().changeEvent(event)
