"""The shelf at the left: everything that can be put into the lesson, found by words, put in at one touch."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPoint,
    QRect,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.editing.insertable import Insertable
from desktop.forms.row import quiet_label
from desktop.frame import SHELF_WIDTH
from desktop.painting.list_rows import fitted_lines
from desktop.theme import enlarged, interface_font, tones_of
from desktop.words import say
from lessonkit.lesson.lesson import Block

DOTS_WIDTH = 32
"""The place at the right of a preset whose three dots open its menu, in pixels."""

_PRESET_KEYS = (Qt.Key.Key_F2, Qt.Key.Key_Delete)
_ENTRY, _IS_CAPTION = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1


class Shelf(QFrame):
    """A search field over the entries in their groups."""

    chosen = Signal(object)
    """Put this block in."""

    renamed = Signal(str, str)
    """The preset of a name is to be called something else."""

    deleted = Signal(str)
    """The preset of a name is to go."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("shelf")
        self.setFixedWidth(SHELF_WIDTH)
        self._entries: tuple[Insertable, ...] = ()
        caption = quiet_label(say("Put in"))
        caption.setObjectName("panelTitle")
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("Find: left hand, inversion …"))
        self.search.setClearButtonEnabled(True)
        self.search.setAccessibleName(say("Find something to put in"))
        self.search.textChanged.connect(self._fill)
        self.search.returnPressed.connect(self._choose_first)
        self.search.installEventFilter(self)
        caption.setBuddy(self.search)
        self.list = QListWidget()
        self.list.setObjectName("shelfList")
        self.list.setAccessibleName(say("What can be put in"))
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        delegate = _EntryDelegate(self.list)
        # The list is filled anew only when its editor has closed.
        delegate.named.connect(self.renamed, Qt.ConnectionType.QueuedConnection)
        self.list.setItemDelegate(delegate)
        self.list.setEditTriggers(QListWidget.EditTrigger.NoEditTriggers)
        self.list.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.list.customContextMenuRequested.connect(self._show_menu)
        self.list.viewport().installEventFilter(self)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.list.setMouseTracking(True)
        self.list.setCursor(Qt.CursorShape.PointingHandCursor)
        self.list.itemClicked.connect(self._choose)
        self.list.installEventFilter(self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 1, 8)
        layout.setSpacing(8)
        layout.addWidget(caption)
        row = QVBoxLayout()
        row.setContentsMargins(0, 0, 16, 0)
        row.addWidget(self.search)
        layout.addLayout(row)
        layout.addWidget(self.list, 1)

    def show_entries(self, entries: Sequence[Insertable]) -> None:
        """Offer these from now on."""
        self._entries = tuple(entries)
        self._fill(self.search.text())

    def focus_search(self) -> None:
        """Put the focus where one types what one looks for."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    @property
    def shown_titles(self) -> list[str]:
        """The entries that answer the search."""
        items = (self.list.item(place) for place in range(self.list.count()))
        return [item.data(_ENTRY).title for item in items if item.data(_ENTRY) is not None]

    def _fill(self, search: str) -> None:
        # The shelf fills behind the pages; they need not wait for this.
        from desktop.editing.fitting import found

        self.list.clear()
        group = ""
        for entry in found(self._entries, search):
            if entry.group != group:
                group = entry.group
                caption = QListWidgetItem(entry.shown_group)
                caption.setFlags(Qt.ItemFlag.NoItemFlags)
                caption.setData(_IS_CAPTION, True)
                self.list.addItem(caption)
            item = QListWidgetItem(entry.shown_title)
            item.setData(_ENTRY, entry)
            item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, entry.shown_about)
            item.setToolTip(entry.shown_about)
            if entry.is_kept:
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                item.setToolTip(say("F2 renames this preset, Delete deletes it"))
            self.list.addItem(item)
        if not self.list.count():
            nothing = QListWidgetItem(say("Nothing answers “{search}”", search=search))
            nothing.setFlags(Qt.ItemFlag.NoItemFlags)
            nothing.setData(_IS_CAPTION, True)
            self.list.addItem(nothing)

    def _choose(self, item: QListWidgetItem | None) -> None:
        entry = item.data(_ENTRY) if item is not None else None
        if entry is not None:
            block: Block = entry.make()
            self.chosen.emit(block)

    def _show_menu(self, point: QPoint) -> None:
        item = self.list.itemAt(point) or self.list.currentItem()
        if not _is_kept(item):
            return
        assert item is not None
        self.list.setCurrentItem(item)
        menu = QMenu(self)
        menu.setObjectName("presetMenu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.addAction(say("&Rename")).triggered.connect(self._rename)
        menu.addAction(say("&Delete")).triggered.connect(self._delete)
        menu.popup(self.list.viewport().mapToGlobal(point))

    def _rename(self) -> None:
        self.list.editItem(self.list.currentItem())

    def _delete(self) -> None:
        self.deleted.emit(self.list.currentItem().data(_ENTRY).title)

    def _choose_first(self) -> None:
        for place in range(self.list.count()):
            if self.list.item(place).data(_ENTRY) is not None:
                self._choose(self.list.item(place))
                return

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QMouseEvent) and watched is self.list.viewport():
            if event.type() == QEvent.Type.MouseButtonRelease and self._is_on_dots(event.position().toPoint()):
                self._show_menu(event.position().toPoint())
                return True
        elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            # On a preset these keys are the shelf's, not the selected block's.
            if watched is self.list and event.key() in _PRESET_KEYS and _is_kept(self.list.currentItem()):
                event.accept()
                return True
        elif isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._take_key(watched, Qt.Key(event.key())) or super().eventFilter(watched, event)
        return super().eventFilter(watched, event)

    def _take_key(self, watched: QObject, key: Qt.Key) -> bool:
        if watched is self.search and key == Qt.Key.Key_Down:
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
            self.list.setCurrentRow(1)
            return True
        if watched is not self.list:
            return False
        if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(self.list.currentItem())
            return True
        if key in _PRESET_KEYS and _is_kept(self.list.currentItem()):
            self._rename() if key == Qt.Key.Key_F2 else self._delete()
            return True
        return False

    def _is_on_dots(self, point: QPoint) -> bool:
        item = self.list.itemAt(point)
        return _is_kept(item) and point.x() >= self.list.visualItemRect(item).right() - DOTS_WIDTH


def _is_kept(item: QListWidgetItem | None) -> bool:
    entry = item.data(_ENTRY) if item is not None else None
    return entry is not None and entry.is_kept


class _EntryDelegate(QStyledItemDelegate):
    """A name with its purpose in small letters below it; captions stand alone. Presets are renamed in their place."""

    named = Signal(str, str)
    """The preset of a name was given another one."""

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        rect = cast(QRect, option.rect)  # type: ignore[attr-defined]
        editor.setGeometry(QRect(rect.left(), rect.top() + 1, SHELF_WIDTH - 48, 28))

    def setModelData(
        self, editor: QWidget, model: QAbstractItemModel, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        # The shelf shows what the presets are; the name changes there.
        assert isinstance(editor, QLineEdit)
        self.named.emit(index.data(_ENTRY).title, editor.text())

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        if index.data(_IS_CAPTION):
            return QSize(SHELF_WIDTH - 32, round((32 if index.row() else 24) * enlarged()))
        return QSize(SHELF_WIDTH - 32, round((26 + len(self._lines(index)) * 16) * enlarged()) + 6)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        rect = cast(QRect, option.rect)  # type: ignore[attr-defined]
        state = option.state  # type: ignore[attr-defined]
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        words = str(index.data(Qt.ItemDataRole.DisplayRole))
        if index.data(_IS_CAPTION):
            painter.setFont(interface_font(9.5, is_bold=True))
            painter.setPen(QColor(tones.muted))
            painter.drawText(rect.adjusted(0, 0, 0, -4), Qt.AlignmentFlag.AlignBottom, words)
            painter.restore()
            return
        area = rect.adjusted(-8, 1, -8, -1)
        is_current = state & QStyle.StateFlag.State_HasFocus
        if state & QStyle.StateFlag.State_MouseOver or is_current:
            painter.setBrush(QColor(tones.hover))
            painter.setPen(QColor(tones.ink) if is_current else Qt.PenStyle.NoPen)
            painter.drawRoundedRect(area.adjusted(8, 0, 0, 0), 5, 5)
        left = rect.left() + (8 if state & QStyle.StateFlag.State_MouseOver or is_current else 0)
        painter.setFont(interface_font(10.5))
        painter.setPen(QColor(tones.ink))
        name_high, line_high = round(20 * enlarged()), round(16 * enlarged())
        painter.drawText(
            QRect(left, rect.top() + 4, rect.width() - 16, name_high), Qt.AlignmentFlag.AlignVCenter, words
        )
        painter.setFont(interface_font(9))
        painter.setPen(QColor(tones.muted))
        if index.data(_ENTRY).is_kept and left != rect.left():
            dots = QRect(rect.right() - DOTS_WIDTH, rect.top() + 4, 20, 20)
            painter.drawText(dots, Qt.AlignmentFlag.AlignCenter, "•••")
        for place, line in enumerate(self._lines(index)):
            at = QRect(left, rect.top() + 4 + name_high + line_high * place, rect.width() - 16, line_high)
            painter.drawText(at, Qt.AlignmentFlag.AlignVCenter, line)
        painter.restore()

    @staticmethod
    def _lines(index: QModelIndex | QPersistentModelIndex) -> list[str]:
        """The purpose in two lines at most."""
        entry = index.data(_ENTRY)
        about = entry.shown_about if entry is not None else ""
        return fitted_lines(about, QFontMetricsF(interface_font(9)), SHELF_WIDTH - 48, most=2)
