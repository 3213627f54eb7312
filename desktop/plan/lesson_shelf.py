"""The lessons beside the term at the left of the room: search, put into the chosen week, carry into any week."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from typing import cast

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QPoint, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter
from PySide6.QtWidgets import (
    QApplication,
    QComboBox,
    QFrame,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
)

from desktop.forms.row import quiet_label
from desktop.frame import SHELF_WIDTH
from desktop.plan.letters import letters
from desktop.plan.shelf_orders import Order, Ranks, Wish
from desktop.plan.wording import title_of
from desktop.theme import enlarged, tones_of
from desktop.words import english, say
from lessonkit.lesson.lesson import Drill, Heading, Lesson

_NAME, _SECOND = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1
_Index = QModelIndex | QPersistentModelIndex


_HELP = english("Drag a lesson into a week, or press Enter.")


class LessonShelf(QFrame):
    """What can be placed. It shows lessons and reports wishes."""

    placed = Signal(str)
    """A lesson is wanted in the chosen week."""

    order_asked = Signal(object)
    """Another order is wanted."""

    searched = Signal(str)
    """Lessons are looked for whose drills have what these words ask for."""

    carried = Signal(QPoint)
    """A lesson is carried over a point of the screen."""

    dropped = Signal(str)
    """The lesson is let go."""

    given_up = Signal()
    """The lesson is not to be carried after all."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("shelf")
        self.setFixedWidth(SHELF_WIDTH)
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("Search the lessons"))
        self.search.setAccessibleName(say("Search the lessons"))
        self.search.setAccessibleDescription(
            say("By words, or by what is in the drills, such as m7b5 in the left hand.")
        )
        self.search.setToolTip(say("By words, or by what is in the drills, such as m7b5 in the left hand."))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._seek)
        self.search.installEventFilter(self)
        self.order = QComboBox()
        self.order.setAccessibleName(say("Order of the lessons"))
        self.order.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.order.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.order.activated.connect(lambda: self.order_asked.emit(self.order.currentData()))
        self.list = QListWidget()
        self.list.setObjectName("shelfList")
        self.list.setAccessibleName(say("Lessons beside the term"))
        self.list.setAccessibleDescription(say("Enter puts the lesson into the chosen week."))
        self.list.setItemDelegate(_LessonPainter(self.list))
        self.list.setUniformItemSizes(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMouseTracking(True)
        self.list.installEventFilter(self)
        self.list.viewport().installEventFilter(self)
        self.list.itemDoubleClicked.connect(self._place)
        self._empty = quiet_label("")
        self._empty.setObjectName("quiet")
        self._empty.setWordWrap(True)
        self._empty.setContentsMargins(16, 8, 16, 8)
        self._help = quiet_label(say(_HELP))
        self._help.setObjectName("quiet")
        self._help.setWordWrap(True)
        self._help.setContentsMargins(16, 4, 16, 0)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 8, 1, 8)
        layout.setSpacing(8)
        inner = QVBoxLayout()
        inner.setContentsMargins(16, 0, 16, 0)
        inner.setSpacing(8)
        inner.addWidget(self.search)
        inner.addWidget(self.order)
        layout.addLayout(inner)
        layout.addWidget(self._empty)
        layout.addWidget(self.list, 1)
        layout.addWidget(self._help)
        self._lessons: Mapping[str, Lesson] = {}
        self._weeks: Mapping[str, list[int]] = {}
        self._found: frozenset[str] = frozenset()
        self._ranks = Ranks()
        self._texts: dict[int, tuple[Lesson, str]] = {}
        self._pressed: tuple[QPoint, str] | None = None
        self.is_carrying = False

    def show_lessons(self, lessons: Mapping[str, Lesson], weeks: Mapping[str, list[int]], is_read: bool) -> None:
        """Show these lessons, and in which weeks each is."""
        self._lessons, self._weeks = lessons, weeks
        self._fill()
        self._empty.setText(
            say("The lessons are being read …")
            if not is_read
            else say("No lessons beside the term. Save lessons in its folder.")
            if not lessons
            else self._empty.text()
        )
        self._empty.setVisible(not is_read or not lessons or not self.list.count())

    def show_found(self, text: str, names: frozenset[str], told: str) -> None:
        """Show also the lessons in whose drills is what the words ask for, and how they were understood."""
        if text == self.search.text():
            self._found = names
            self._help.setText(say("Searched for {told}.", told=told) if told else say(_HELP))
            self._fill()

    def show_orders(self, codes: Sequence[str]) -> None:
        """Offer the orders, one for each student's needs among them."""
        wishes = [Wish(Order.TITLE), Wish(Order.EASIEST), *(Wish(Order.NEEDED, code) for code in codes)]
        if wishes == [self.order.itemData(place) for place in range(self.order.count())]:
            return
        before = self.order.currentData()
        self.order.clear()
        for wish in wishes:
            self.order.addItem(wish.words, wish)
        self.order.setCurrentIndex(wishes.index(before) if before in wishes else 0)
        if before is not None and before not in wishes:
            self.order_asked.emit(wishes[0])

    def show_ranks(self, ranks: Ranks) -> None:
        """Show the lessons in the order that was asked for."""
        self._ranks = ranks
        self._fill()

    def focus_search(self) -> None:
        """Go to the search."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def _seek(self, text: str) -> None:
        self._found = frozenset()
        self._help.setText(say(_HELP))
        self._fill()
        if len(text.strip()) > 1:
            self.searched.emit(text)

    def _fill(self) -> None:
        words = self.search.text().casefold().split()
        names = [
            name
            for name, one in self._lessons.items()
            if name in self._found or all(word in self._text(name, one) for word in words)
        ]
        ranks = self._ranks.ranks
        names.sort(key=lambda name: (ranks.get(name, inf), title_of(name, self._lessons).casefold()))
        current = self.list.currentItem()
        wanted = current.data(_NAME) if current is not None else None
        while self.list.count() > len(names):
            self.list.takeItem(self.list.count() - 1)
        for place, name in enumerate(names):
            if place == self.list.count():
                self.list.addItem(QListWidgetItem())
            item = self.list.item(place)
            title, second = title_of(name, self._lessons), _second(self._weeks.get(name, []))
            if name in self._ranks.words:
                second = f"{self._ranks.words[name]} · {second}"
            if item.data(_NAME) != name or item.data(_SECOND) != second or item.text() != title:
                item.setText(title)
                item.setToolTip(name)
                item.setData(_NAME, name)
                item.setData(_SECOND, second)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, f"{title}, {second}")
            if name == wanted:
                self.list.setCurrentRow(place)
        self._empty.setText(say("No lesson has all these words."))
        self._empty.setVisible(bool(words) and not names)

    def _text(self, name: str, lesson: Lesson) -> str:
        kept = self._texts.get(id(lesson))
        if kept is None or kept[0] is not lesson:
            words = [name, lesson.title, lesson.aims, str(lesson.key)]
            for block in lesson.blocks:
                if isinstance(block, Drill):
                    words.append(block.family.title)
                elif isinstance(block, Heading):
                    words.append(block.text)
            kept = self._texts[id(lesson)] = (lesson, " ".join(words).casefold())
        return kept[1]

    def _place(self) -> None:
        item = self.list.currentItem()
        if item is not None:
            self.placed.emit(item.data(_NAME))

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is self.list.viewport() and isinstance(event, QMouseEvent):
            return self._take_mouse(event) or super().eventFilter(watched, event)
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            return self._take_key(watched, event.key()) or super().eventFilter(watched, event)
        return super().eventFilter(watched, event)

    def _take_key(self, watched: QObject, key: int) -> bool:
        if watched is self.search and key == Qt.Key.Key_Down and self.list.count():
            self.list.setFocus(Qt.FocusReason.OtherFocusReason)
            self.list.setCurrentRow(max(0, self.list.currentRow()))
            return True
        if watched is self.list and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._place()
            return True
        if key == Qt.Key.Key_Escape and self.is_carrying:
            self.is_carrying, self._pressed = False, None
            self.list.viewport().unsetCursor()
            self.given_up.emit()
            return True
        return False

    def _take_mouse(self, event: QMouseEvent) -> bool:
        point = event.position().toPoint()
        if event.type() == QEvent.Type.MouseButtonPress and event.button() is Qt.MouseButton.LeftButton:
            item = self.list.itemAt(point)
            self._pressed = (point, item.data(_NAME)) if item is not None else None
        elif event.type() == QEvent.Type.MouseMove and self._pressed is not None:
            if (point - self._pressed[0]).manhattanLength() >= QApplication.startDragDistance():
                self.is_carrying = True
                self.list.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
            if self.is_carrying:
                self.carried.emit(event.globalPosition().toPoint())
            return True
        elif event.type() == QEvent.Type.MouseButtonRelease:
            pressed, self._pressed = self._pressed, None
            if self.is_carrying and pressed is not None:
                self.is_carrying = False
                self.list.viewport().unsetCursor()
                self.dropped.emit(pressed[1])
                return True
        return False


def _second(weeks: list[int]) -> str:
    if not weeks:
        return say("in no week yet")
    return (
        say("in week {weeks}", weeks=weeks[0])
        if len(weeks) == 1
        else say("in weeks {map}", map=", ".join(map(str, weeks)))
    )


class _LessonPainter(QStyledItemDelegate):
    """The title in one line, where it is placed below."""

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        return QSize(120, round(48 * enlarged()))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        view = cast(QListWidget, self.parent())
        area = cast(QRect, option.rect)  # type: ignore[attr-defined]
        state = option.state  # type: ignore[attr-defined]
        is_chosen = view.currentIndex().row() == index.row() and view.hasFocus()
        painter.save()
        if is_chosen or state & QStyle.StateFlag.State_MouseOver:
            painter.fillRect(area, QColor(tones.hover))
        if is_chosen:
            painter.fillRect(QRect(area.left(), area.top(), 3, area.height()), QColor(tones.accent))
        inside = area.adjusted(16, 5, -8, -5)
        for size, tone, words, side in (
            (10.5, tones.ink, str(index.data()), Qt.AlignmentFlag.AlignTop),
            (9, tones.muted, str(index.data(_SECOND)), Qt.AlignmentFlag.AlignBottom),
        ):
            font, measures = letters(size)
            painter.setFont(font)
            painter.setPen(QColor(tone))
            fitted = measures.elidedText(words, Qt.TextElideMode.ElideRight, inside.width())
            painter.drawText(inside, side, fitted)
        painter.restore()
