"""The weeks of the term as a list like a calendar; lessons and weeks are carried with the mouse. It changes nothing."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QListWidget, QListWidgetItem

from desktop.plan.week_painter import ROW, WeekPainter
from desktop.plan.week_rows import Kind, PlanRow
from desktop.words import say


class WeeksView(QListWidget):
    """Shows rows and reports wishes."""

    chosen = Signal()
    """Another row is chosen."""

    lesson_carried = Signal(str, str, int)
    """A placed lesson is wanted in a week, at a place counted without it."""

    week_carried = Signal(str, int)
    """A week is wanted at another place, counted as it stands afterwards."""

    lesson_dropped = Signal(str, str, int)
    """A lesson of the shelf is wanted in a week, at a place."""

    open_asked = Signal(str)
    """The placed lesson of an id is to be opened."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("weeks")
        self.setAccessibleName(say("Weeks of the term"))
        self.setAccessibleDescription(say("Alt with the up and down arrows moves a week or a lesson."))
        self.setItemDelegate(WeekPainter(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setMouseTracking(True)
        self.rows: tuple[PlanRow, ...] = ()
        self.drop_line: tuple[int, bool] | None = None
        """Where the carried lesson would come: the row, and whether above it."""
        self._pressed: tuple[QPoint, PlanRow] | None = None
        self._carried: PlanRow | None = None
        self._is_showing = False
        self.currentRowChanged.connect(self._choose)
        self.itemDoubleClicked.connect(self._open)

    @property
    def row(self) -> PlanRow | None:
        """The row that is chosen."""
        place = self.currentRow()
        return self.rows[place] if 0 <= place < len(self.rows) else None

    @property
    def is_told_by_hand(self) -> bool:
        """Whether the hand chose the row, and not a change of the term."""
        return not self._is_showing

    @property
    def is_carrying(self) -> bool:
        """Whether the mouse carries a lesson or a week."""
        return self._carried is not None

    def show_rows(self, rows: Sequence[PlanRow]) -> None:
        """Show these rows; who was chosen stays so, or the one in its place."""
        wanted, place = self.row, self.currentRow()
        self._is_showing = True
        self.rows = tuple(rows)
        while self.count() > len(rows):
            self.takeItem(self.count() - 1)
        for number, row in enumerate(rows):
            if number == self.count():
                self.addItem(QListWidgetItem())
            item = self.item(number)
            if item.data(ROW) != row:
                item.setData(ROW, row)
                item.setText(row.words)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, row.spoken)
                item.setToolTip(row.second if row.kind is Kind.WEEK else "")
        same = [number for number, row in enumerate(rows) if wanted is not None and row.id == wanted.id]
        self.setCurrentRow(same[0] if same else min(max(place, 0), len(rows) - 1))
        self.chosen.emit()
        self._is_showing = False

    def choose(self, id: str) -> None:
        """Choose the row of a week or of a placed lesson."""
        for number, row in enumerate(self.rows):
            if row.id == id:
                self.setCurrentRow(number)
                self.scrollToItem(self.item(number))

    def carry_over(self, point: QPoint, kind: Kind = Kind.LESSON) -> None:
        """Something is carried over a point of the screen; show where it would come."""
        inside = self.viewport().mapFromGlobal(point)
        line = self._line_at(inside, kind) if self.viewport().rect().contains(inside) else None
        if line != self.drop_line:
            self.drop_line = line
            self.viewport().update()
        if line is not None:
            self._scroll_at(inside)

    def forget_line(self) -> None:
        """Nothing is carried any more."""
        self.drop_line = None
        self.viewport().update()

    def drop_from_shelf(self, name: str) -> None:
        """A lesson of the shelf is let go."""
        target, self.drop_line = self._target(), None
        self.viewport().update()
        if target is not None:
            self.lesson_dropped.emit(name, *target)

    def _target(self) -> tuple[str, int] | None:
        """The week and the place in it that the line is at."""
        if self.drop_line is None:
            return None
        row = self.rows[self.drop_line[0]]
        return row.week_id, (row.at if self.drop_line[1] else row.at + 1)

    def _line_at(self, point: QPoint, kind: Kind) -> tuple[int, bool] | None:
        place = self.indexAt(point).row()
        if place < 0:
            place = len(self.rows) - 1
        if place < 0:
            return None
        rect = self.visualItemRect(self.item(place))
        is_above = point.y() < rect.center().y()
        if kind is Kind.WEEK:
            return self._week_line(place, is_above)
        while self.rows[place].kind is Kind.HOLIDAY:
            place, is_above = place - 1, False
            if place < 0:
                return None
        return place, is_above and self.rows[place].kind is Kind.LESSON

    def _week_line(self, place: int, is_above: bool) -> tuple[int, bool] | None:
        """The nearest boundary of weeks: above a week, or below the last row."""
        starts = [number for number, row in enumerate(self.rows) if row.kind is Kind.WEEK]
        at = place if is_above else place + 1
        if not starts:
            return None
        nearest = min([*starts, len(self.rows)], key=lambda start: abs(start - at))
        return (nearest, True) if nearest < len(self.rows) else (len(self.rows) - 1, False)

    def _week_place(self) -> int | None:
        """How many weeks lie before the line."""
        if self.drop_line is None:
            return None
        place, is_above = self.drop_line
        return sum(row.kind is Kind.WEEK for row in self.rows[: place + (not is_above)])

    def _scroll_at(self, point: QPoint) -> None:
        bar = self.verticalScrollBar()
        if point.y() < 24:
            bar.setValue(bar.value() - 12)
        elif point.y() > self.viewport().height() - 24:
            bar.setValue(bar.value() + 12)

    def _choose(self) -> None:
        if not self._is_showing:
            self.chosen.emit()

    def _open(self) -> None:
        if self.row is not None and self.row.kind is Kind.LESSON:
            self.open_asked.emit(self.row.id)
        else:
            self.chosen.emit()

    def _let_go(self) -> None:
        carried, target, week_place = self._carried, self._target(), self._week_place()
        self._give_up()
        if carried is None or target is None or week_place is None:
            return
        if carried.kind is Kind.WEEK:
            before = [row.id for row in self.rows if row.kind is Kind.WEEK].index(carried.id)
            self.week_carried.emit(carried.id, week_place - (before < week_place))
        else:
            week_id, at = target
            self.lesson_carried.emit(carried.id, week_id, at - (week_id == carried.week_id and carried.at < at))

    def _give_up(self) -> None:
        self._pressed = self._carried = self.drop_line = None
        self.viewport().unsetCursor()
        self.viewport().update()

    # Qt overrides

    def mousePressEvent(self, event: QMouseEvent) -> None:
        before = self.currentRow()
        super().mousePressEvent(event)
        place = self.indexAt(event.position().toPoint()).row()
        if place == before:
            # A row that was chosen already may still be shown anew, in the place of the whole term.
            self.chosen.emit()
        if event.button() is Qt.MouseButton.LeftButton and place >= 0 and self.rows[place].kind is not Kind.HOLIDAY:
            self._pressed = (event.position().toPoint(), self.rows[place])

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._pressed is None:
            super().mouseMoveEvent(event)
            return
        start, row = self._pressed
        point = event.position().toPoint()
        if self._carried is None and (point - start).manhattanLength() >= QApplication.startDragDistance():
            self._carried = row
            self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)
        if self._carried is not None:
            self.carry_over(event.globalPosition().toPoint(), row.kind)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self._carried is not None:
            self._let_go()
            return
        self._pressed = None
        super().mouseReleaseEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self._carried is not None:
            self._give_up()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._open()
        else:
            super().keyPressEvent(event)

    def resizeEvent(self, event: object) -> None:
        super().resizeEvent(event)  # type: ignore[arg-type]
        self.scheduleDelayedItemsLayout()
