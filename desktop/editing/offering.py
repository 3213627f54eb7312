"""What can follow an open brace, offered below the caret while it is typed; the words keep the focus."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from desktop.editing.writing_box import WritingBox
from desktop.painting.list_rows import paint_ground
from desktop.theme import interface_font, tones_of
from desktop.words import say
from lessonkit.drills.setting import Setting
from lessonkit.lesson.live_offers import LiveOffer, live_offers, typed_brace

_OFFER = Qt.ItemDataRole.UserRole
_ROW, _MOST_ROWS, _WIDTH, _MIDDLE = 28, 9, 480, 150
"""The height of a row, how many show at once, the width of the list and where results begin, in pixels."""

_TAKES = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab)
_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: _MOST_ROWS, Qt.Key.Key_PageUp: -_MOST_ROWS}


class Offering(QObject):
    """Offers for one writing box; ``setting`` answers the lesson's as it is."""

    def __init__(self, box: WritingBox, setting: Callable[[], Setting]) -> None:
        super().__init__(box)
        self._box = box
        self._setting = setting
        self._dismissed = ""
        self.list = _OfferList(box)
        self.list.itemClicked.connect(self._take)
        box.keys_first = self._take_key
        box.destroyed.connect(self.list.deleteLater)

    @property
    def is_shown(self) -> bool:
        """Whether something is offered now."""
        return not self.list.isHidden()

    @property
    def offers(self) -> tuple[LiveOffer, ...]:
        """What is offered now."""
        if not self.is_shown:
            return ()
        return tuple(self.list.item(place).data(_OFFER) for place in range(self.list.count()))

    def follow(self) -> None:
        """Offer what fits what stands before the caret, or nothing."""
        cursor = self._box.textCursor()
        line, caret = cursor.block().text(), cursor.positionInBlock()
        typed = typed_brace(line, caret)
        if typed is None or cursor.hasSelection() or not self._box.hasFocus():
            self._dismissed = ""
            self.close()
            return
        offers = live_offers(typed, self._setting())
        if not offers or line[:caret] == self._dismissed:
            self.close()
            return
        self.list.show_offers(offers)
        self._place()
        self.list.show()
        self.list.raise_()

    def close(self) -> None:
        """Offer nothing."""
        self.list.hide()

    def _place(self) -> None:
        """Below the caret, or above it where there is no room."""
        caret, box = self._box.cursorRect(), self._box
        port = box.parentWidget()
        corner = box.viewport().mapTo(port, caret.bottomLeft())
        height = min(self.list.count(), _MOST_ROWS) * _ROW + 10
        left = max(4, min(corner.x() - 12, port.width() - _WIDTH - 4))
        below = corner.y() + 6
        is_room_below = below + height <= port.height() - 4
        top = below if is_room_below else max(4, corner.y() - caret.height() - height - 6)
        self.list.setGeometry(QRect(QPoint(left, top), QSize(_WIDTH, height)))

    def _take_key(self, event: QKeyEvent) -> bool:
        """Whether a key was meant for the offers."""
        if not self.is_shown or event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier:
            return False
        key = Qt.Key(event.key())
        if key in _STEPS:
            place = self.list.currentRow() + _STEPS[key]
            self.list.setCurrentRow(min(max(place, 0), self.list.count() - 1))
            return True
        if key in _TAKES:
            self._take(self.list.currentItem())
            return True
        if key == Qt.Key.Key_Escape:
            cursor = self._box.textCursor()
            self._dismissed = cursor.block().text()[: cursor.positionInBlock()]
            self.close()
            return True
        return False

    def _take(self, item: QListWidgetItem | None) -> None:
        """Put an offer in the place of what was typed since the brace, the rest of an old word with it."""
        if item is None:
            return
        offer: LiveOffer = item.data(_OFFER)
        cursor = self._box.textCursor()
        line, caret = cursor.block().text(), cursor.positionInBlock()
        typed = typed_brace(line, caret)
        if typed is None:
            return
        rest = line[caret:].partition("}")
        ahead = len(rest[0]) + 1 if rest[1] and "{" not in rest[0] else 0
        cursor.setPosition(cursor.position() - len(typed) - 1)
        cursor.setPosition(cursor.position() + len(typed) + 1 + ahead, cursor.MoveMode.KeepAnchor)
        cursor.insertText(offer.source)
        self._box.setTextCursor(cursor)
        self.close()
        self._box.setFocus()


class _OfferList(QListWidget):
    """The offers, one a row; the focus stays with the words."""

    def __init__(self, box: QWidget) -> None:
        super().__init__(box.parentWidget())
        self.setObjectName("offers")
        self.setAccessibleName(say("What can stand in the braces"))
        # A list without focus would hand a click's focus on to the pages, and writing would be over.
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setFocusProxy(box)
        self.setItemDelegate(_OfferDelegate(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setUniformItemSizes(True)
        self.setMouseTracking(True)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.hide()

    def show_offers(self, offers: tuple[LiveOffer, ...]) -> None:
        """Show these, the first one chosen."""
        self.clear()
        for offer in offers:
            item = QListWidgetItem(f"{offer.source}, {offer.result}", self)
            item.setData(_OFFER, offer)
            item.setToolTip(offer.about)
        self.setCurrentRow(0)


class _OfferDelegate(QStyledItemDelegate):
    """What is typed, then what it comes to."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(_WIDTH - 24, _ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        rect = cast(QRect, option.rect)  # type: ignore[attr-defined]
        state = option.state  # type: ignore[attr-defined]
        offer: LiveOffer = index.data(_OFFER)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, quiet = paint_ground(painter, rect.adjusted(2, 1, -2, -1), state, tones, 4)
        across = Qt.AlignmentFlag.AlignVCenter
        painter.setPen(QColor(quiet))
        painter.setFont(interface_font(10))
        painter.drawText(rect.adjusted(12, 0, 0, 0), across, offer.source)
        painter.setPen(QColor(ink))
        font = interface_font(10.5, is_bold=True)
        painter.setFont(font)
        area = rect.adjusted(12 + _MIDDLE, 0, -8, 0)
        painter.drawText(area, across, offer.result)
        room = area.adjusted(round(QFontMetricsF(font).horizontalAdvance(offer.result)) + 16, 0, 0, 0)
        painter.setFont(interface_font(9))
        painter.setPen(QColor(quiet))
        if room.width() > 48:
            words = painter.fontMetrics().elidedText(offer.about, Qt.TextElideMode.ElideRight, room.width())
            painter.drawText(room, across | Qt.AlignmentFlag.AlignRight, words)
        painter.restore()
