"""A grid of counts: rows and columns with their words, a number in every cell, darker where there is more.

The number is always there, so that the grid reads in grey and without seeing tones. An empty cell is a gap.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any, cast

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QApplication,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from desktop.plan.letters import letters
from desktop.theme import Tones, tones_of
from desktop.words import say
from lessonkit.curriculum.seen import Cell

_Index = QModelIndex | QPersistentModelIndex
_NOBODY = QModelIndex()

CELL, ROW_HEIGHT, ROW_WORDS = 30, 26, 248
"""The width and height of a cell, and the most room for the words of a row, in pixels."""

STEPS = (1, 2, 4, 8, 16)
"""From so many drills on a cell is a step darker."""


class GridModel(QAbstractTableModel):
    """What the grid shows; it changes as a whole."""

    def __init__(self) -> None:
        super().__init__()
        self.rows: tuple[Any, ...] = ()
        self.columns: tuple[Any, ...] = ()
        self.counts: Mapping[Cell, int] = {}
        self.row_words: Sequence[str] = ()
        self.column_words: Sequence[str] = ()
        self.column_names: Sequence[str] = ()

    def show(
        self,
        rows: tuple[Any, ...],
        columns: tuple[Any, ...],
        counts: Mapping[Cell, int],
        row_words: Sequence[str],
        column_words: Sequence[str],
        column_names: Sequence[str],
    ) -> None:
        """Show other counts."""
        self.beginResetModel()
        self.rows, self.columns, self.counts = rows, columns, counts
        self.row_words, self.column_words, self.column_names = row_words, column_words, column_names
        self.endResetModel()

    def cell(self, index: _Index) -> Cell:
        """The values of a cell."""
        return self.rows[index.row()], self.columns[index.column()]

    # Qt overrides

    def rowCount(self, parent: _Index = _NOBODY) -> int:
        return 0 if parent.isValid() else len(self.rows)

    def columnCount(self, parent: _Index = _NOBODY) -> int:
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if role == Qt.ItemDataRole.DisplayRole:
            return str(self.counts.get(self.cell(index), 0))
        if role in (Qt.ItemDataRole.AccessibleTextRole, Qt.ItemDataRole.ToolTipRole):
            count = self.counts.get(self.cell(index), 0)
            said = {0: say("no drill, a gap"), 1: say("one drill")}.get(count, say("{count} drills", count=count))
            return f"{self.row_words[index.row()]}, {self.column_names[index.column()]}: {said}"
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        is_across = orientation is Qt.Orientation.Horizontal
        if role == Qt.ItemDataRole.DisplayRole:
            return (self.column_words if is_across else self.row_words)[section]
        if role in (Qt.ItemDataRole.ToolTipRole, Qt.ItemDataRole.AccessibleTextRole):
            return (self.column_names if is_across else self.row_words)[section]
        return None


class GridView(QTableView):
    """The grid. It reports which cell is chosen and which one is opened."""

    cell_chosen = Signal(object)
    """The values of the chosen cell; None where none is."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("grid")
        self.grid = GridModel()
        self.setModel(self.grid)
        self.setItemDelegate(_CountPainter(self))
        self.setAccessibleName(say("What the lessons cover"))
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setShowGrid(False)
        self.setCornerButtonEnabled(False)
        self.setTabKeyNavigation(False)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalHeader(TurnedHeader(self))
        down = QHeaderView(Qt.Orientation.Vertical, self)
        down.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        down.setDefaultSectionSize(ROW_HEIGHT)
        down.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        down.setFixedWidth(ROW_WORDS)
        down.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.setVerticalHeader(down)
        self.selectionModel().currentChanged.connect(self._choose)

    @property
    def cell(self) -> Cell | None:
        """The chosen cell."""
        index = self.currentIndex()
        return self.grid.cell(index) if index.isValid() else None

    def show_counts(
        self,
        rows: tuple[Any, ...],
        columns: tuple[Any, ...],
        counts: Mapping[Cell, int],
        row_words: Sequence[str],
        column_words: Sequence[str],
        column_names: Sequence[str],
    ) -> None:
        """Show other counts; the chosen cell stays chosen where it still is."""
        wanted, across, down = self.cell, self.horizontalScrollBar().value(), self.verticalScrollBar().value()
        is_same = rows == self.grid.rows and columns == self.grid.columns
        self.grid.show(rows, columns, counts, row_words, column_words, column_names)
        header = cast(TurnedHeader, self.horizontalHeader())
        header.fit(column_words)
        if wanted is not None and wanted[0] in rows and wanted[1] in columns:
            self.choose(wanted)
        elif rows and columns:
            self.setCurrentIndex(self.grid.index(0, 0))
        if is_same:
            self.horizontalScrollBar().setValue(across)
            self.verticalScrollBar().setValue(down)
        self.cell_chosen.emit(self.cell)

    def choose(self, cell: Cell) -> None:
        """Choose a cell."""
        self.setCurrentIndex(self.grid.index(self.grid.rows.index(cell[0]), self.grid.columns.index(cell[1])))

    def _choose(self) -> None:
        self.cell_chosen.emit(self.cell)


class TurnedHeader(QHeaderView):
    """Words above the columns, turned upwards where they are long."""

    def __init__(self, parent: GridView) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setMinimumSectionSize(16)
        self.setDefaultSectionSize(CELL)
        self._is_turned = False
        self._height = 28

    def fit(self, words: Sequence[str]) -> None:
        """Take the room that these words need."""
        _, metrics = letters(10)
        longest = max((metrics.horizontalAdvance(line) for one in words for line in one.split("\n")), default=0)
        self._is_turned = longest > CELL
        self._height = min(longest + 16, 224) if self._is_turned else 36
        self.setDefaultSectionSize(CELL)
        self.updateGeometry()
        self.geometriesChanged.emit()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(super().sizeHint().width(), self._height)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        grid = cast(GridView, self.parent())
        font, measures = letters(10, grid.currentIndex().column() == section)
        words = str(grid.grid.column_words[section])
        painter.save()
        painter.fillRect(rect, QColor(tones.panel))
        painter.setFont(font)
        painter.setPen(QColor(tones.ink if font.bold() else tones.muted))
        if self._is_turned:
            words = measures.elidedText(words, Qt.TextElideMode.ElideRight, self._height - 12)
            painter.translate(rect.left(), rect.bottom())
            painter.rotate(-90)
            painter.drawText(QRect(6, 0, self._height - 8, rect.width()), Qt.AlignmentFlag.AlignVCenter, words)
        else:
            painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, words)
        painter.restore()


class _CountPainter(QStyledItemDelegate):
    """A number on a ground that is darker the more there is; a gap is an empty frame."""

    def __init__(self, view: GridView) -> None:
        super().__init__(view)
        self._view = view

    # Qt overrides

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        area = cast(QRect, option.rect).adjusted(1, 1, -1, -1)  # type: ignore[attr-defined]
        grid = self._view.grid
        count = grid.counts.get((grid.rows[index.row()], grid.columns[index.column()]), 0)
        ground, ink, frame, mark = _dress(tones, sum(count >= least for least in STEPS))
        if count:
            painter.fillRect(area, ground)
            painter.setPen(ink)
            painter.setFont(letters(9.5)[0])
            painter.drawText(area, Qt.AlignmentFlag.AlignCenter, str(count))
        else:
            # The view has filled a chosen cell before.
            painter.fillRect(option.rect, QColor(tones.panel))  # type: ignore[attr-defined]
            painter.setPen(frame)
            painter.drawRect(area.adjusted(0, 0, -1, -1))
        if self._view.currentIndex() == index:
            painter.setPen(mark)
            painter.drawRect(area.adjusted(0, 0, -1, -1))


@lru_cache(maxsize=32)
def _dress(tones: Tones, step: int) -> tuple[QColor, QColor, QColor, QPen]:
    """Ground, number and frame of a cell, and the mark around the chosen one."""
    ground = _between(tones.control, tones.muted, step / (len(STEPS) + 1))
    ink = QColor(tones.control if step >= 4 else tones.ink)
    return ground, ink, QColor(tones.edge), QPen(QColor(tones.accent), 2)


def _between(first: str, then: str, part: float) -> QColor:
    one, other = QColor(first), QColor(then)
    return QColor(
        round(one.red() + (other.red() - one.red()) * part),
        round(one.green() + (other.green() - one.green()) * part),
        round(one.blue() + (other.blue() - one.blue()) * part),
    )
