"""What can be put in where the caret is, found by words, each with a small picture in the lesson's key."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.editing.entry_pictures import HEIGHT, WIDTH, EntryPictures
from desktop.editing.fitting import found
from desktop.editing.insertable import Insertable
from desktop.forms.row import quiet_label
from desktop.open_lesson import OpenLesson
from desktop.painting.list_rows import fitted_lines, paint_ground
from desktop.theme import enlarged, interface_font, tones_of
from desktop.words import say

_ENTRY = Qt.ItemDataRole.UserRole
_ROW, _ACROSS, _DOWN, _EDGE = HEIGHT + 14, 616, 520, 12
"""The height of a row, the width and the height of the palette, and the room at its edges, in pixels."""


class Palette(QFrame):
    """A search field over the entries. It lies over the pages and closes when the hand goes elsewhere."""

    chosen = Signal(object)
    """Put this block in."""

    closed = Signal()
    """Nothing is to be put in; the hand goes back to where it was."""

    def __init__(self, parent: QWidget, open_lesson: OpenLesson) -> None:
        super().__init__(parent)
        self.setObjectName("palette")
        self._entries: tuple[Insertable, ...] = ()
        self.pictures = EntryPictures(open_lesson, self)
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("What is to come here? left hand, ii V, inversion …"))
        self.search.setAccessibleName(say("Find what is to come here"))
        self.search.textChanged.connect(self._fill)
        self.search.installEventFilter(self)
        self.list = QListWidget()
        self.list.setObjectName("paletteList")
        self.list.setAccessibleName(say("What can be put in here"))
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.setFocusProxy(self.search)
        self.list.setItemDelegate(_Delegate(self.list, self.pictures))
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.list.setUniformItemSizes(True)
        self.list.setMouseTracking(True)
        self.list.setCursor(Qt.CursorShape.PointingHandCursor)
        self.list.itemClicked.connect(self._choose)
        self.pictures.drawn.connect(self.list.viewport().update)
        self._nothing = quiet_label("")
        self._nothing.setObjectName("quiet")
        self._nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        hint = quiet_label(say("Enter puts it in, Up and Down go through the list, Escape goes back"))
        hint.setObjectName("help")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(_EDGE, _EDGE, _EDGE, 8)
        layout.setSpacing(8)
        layout.addWidget(self.search)
        layout.addWidget(self._nothing, 1)
        layout.addWidget(self.list, 1)
        layout.addWidget(hint)
        self.hide()

    def open(self, entries: Sequence[Insertable], place: QRect) -> None:
        """Offer these in the middle of a place."""
        self._entries = tuple(entries)
        across, down = min(_ACROSS, place.width() - 16), min(_DOWN, place.height() - 32)
        self.setGeometry(place.left() + (place.width() - across) // 2, place.top() + 16, across, down)
        self.search.clear()
        self._fill("")
        self.show()
        self.raise_()
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def shown(self) -> tuple[Insertable, ...]:
        """The entries that answer the search."""
        return tuple(self.list.item(place).data(_ENTRY) for place in range(self.list.count()))

    def _fill(self, search: str) -> None:
        self.pictures.forget_wanted()
        self.list.clear()
        for entry in found(self._entries, search):
            item = QListWidgetItem(entry.shown_title, self.list)
            item.setData(_ENTRY, entry)
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, entry.shown_about)
        self.list.setCurrentRow(0)
        self.list.setVisible(bool(self.list.count()))
        self._nothing.setVisible(not self.list.count())
        self._nothing.setText(say("Nothing answers “{search}”. Try fewer words.", search=search))

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            entry: Insertable = item.data(_ENTRY)
            self.hide()
            self.chosen.emit(entry.make())

    def _leave(self) -> None:
        if not self.isHidden():
            self.hide()
            self.closed.emit()

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and not self.isHidden():
            window = self.window()
            if window.isActiveWindow() and not self.isAncestorOf(window.focusWidget() or window):
                self.hide()
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and self._take_key(event):
            return True
        return super().eventFilter(watched, event)

    def _take_key(self, event: QKeyEvent) -> bool:
        rows = max(1, self.list.viewport().height() // _ROW)
        steps = {
            Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: rows, Qt.Key.Key_PageUp: -rows,
        }  # fmt: skip
        key = Qt.Key(event.key())
        if key in steps:
            place = self.list.currentRow() + steps[key]
            self.list.setCurrentRow(min(max(place, 0), self.list.count() - 1))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.list.currentItem())
        elif key == Qt.Key.Key_Escape:
            self._leave()
        else:
            return False
        return True


class _Delegate(QStyledItemDelegate):
    """A name and its purpose at the left, the picture at the right."""

    def __init__(self, parent: QWidget, pictures: EntryPictures) -> None:
        super().__init__(parent)
        self._pictures = pictures

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(_ACROSS - 2 * _EDGE - 16, max(_ROW, round(62 * enlarged())))

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        rect = cast(QRect, option.rect)  # type: ignore[attr-defined]
        state = option.state  # type: ignore[attr-defined]
        entry: Insertable = index.data(_ENTRY)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, quiet = paint_ground(painter, rect.adjusted(0, 1, -4, -1), state, tones, 5)
        picture = QRect(rect.right() - WIDTH - 11, rect.top() + 7, WIDTH, HEIGHT)
        pixmap = self._pictures.picture(entry, painter.device().devicePixelRatio())
        if pixmap is not None:
            painter.drawPixmap(picture, pixmap)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QColor(tones.edge))
            painter.drawRect(QRectF(picture).adjusted(-0.5, -0.5, 0.5, 0.5))
        words = rect.adjusted(10, 8, -(WIDTH + 24), -6)
        painter.setPen(QColor(ink))
        painter.setFont(interface_font(10.5, is_bold=True))
        title = painter.fontMetrics().elidedText(entry.shown_title, Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words, Qt.AlignmentFlag.AlignTop, title)
        painter.setPen(QColor(quiet))
        font = interface_font(9)
        painter.setFont(font)
        most = 3 if enlarged() == 1.0 else 2 if enlarged() < 1.5 else 1
        for place, line in enumerate(fitted_lines(entry.shown_about, QFontMetricsF(font), words.width(), most)):
            high = round(15 * enlarged())
            at = QRect(words.left(), words.top() + round(20 * enlarged()) + high * place, words.width(), high + 1)
            painter.drawText(at, Qt.AlignmentFlag.AlignVCenter, line)
        painter.restore()
