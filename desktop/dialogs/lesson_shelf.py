"""The lessons of a folder, each with its first page in small, its keys and drills; found by words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import cast

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, QRect, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPixmap
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from desktop.forms.row import quiet_label
from desktop.lesson_facts import LessonFacts, facts_of, lesson_files
from desktop.painting.list_rows import paint_ground, step_by_key
from desktop.painting.qt_painter import QtPainter
from desktop.theme import interface_font, tones_of
from desktop.words import say
from lessonkit.drawing.shapes import paint
from lessonkit.lesson.lesson import Lesson
from lessonkit.pages.flow import pages_of

_FACTS = Qt.ItemDataRole.UserRole
_ROW, _PAGE_WIDE, _PAGE_HIGH = 132, 84, 119
_FIRST_BLOCKS = 8
"""So many blocks fill a first page in small; the rest is not drawn for a picture."""


class LessonShelf(QDialog):
    """Files are read and pictures drawn one at a time while the window answers."""

    chosen = Signal(object)
    """Open the lesson of this path."""

    def __init__(self, parent: QWidget, folder: Path) -> None:
        super().__init__(parent)
        self.setWindowTitle(say("Lessons of a folder"))
        self.resize(760, 620)
        self._reading: Iterator[LessonFacts] = iter(())
        self._facts: list[LessonFacts] = []
        self._pictures: dict[Path, QPixmap] = {}
        self._folder = quiet_label("")
        self._folder.setObjectName("quiet")
        other = QPushButton(say("Another folder …"))
        other.clicked.connect(self._ask_for_folder)
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("Find: words of the title, a key, a drill"))
        self.search.setAccessibleName(say("Find a lesson"))
        self.search.textChanged.connect(self._fill)
        self.search.installEventFilter(self)
        self.list = QListWidget()
        self.list.setObjectName("paletteList")
        self.list.setAccessibleName(say("Lessons"))
        self.list.setItemDelegate(_Delegate(self))
        self.list.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setMouseTracking(True)
        self.list.itemClicked.connect(self._choose)
        self.list.itemActivated.connect(self._choose)
        above = QHBoxLayout()
        above.addWidget(self._folder, 1)
        above.addWidget(other)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(16, 16, 16, 16)
        layout.setSpacing(8)
        layout.addLayout(above)
        layout.addWidget(self.search)
        layout.addWidget(self.list, 1)
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._go_on)
        self.show_folder(folder)

    def show_folder(self, folder: Path) -> None:
        """Show the lessons of this folder."""
        self._folder.setText(str(folder))
        self._facts.clear()
        self.list.clear()
        self._reading = facts_of(lesson_files(folder))
        self._timer.start()
        self.search.setFocus()

    @property
    def shown(self) -> tuple[LessonFacts, ...]:
        """The lessons that answer the search."""
        return tuple(self.list.item(row).data(_FACTS) for row in range(self.list.count()))

    def picture(self, facts: LessonFacts) -> QPixmap | None:
        """The first page in small; None while it is not drawn."""
        return self._pictures.get(facts.path)

    def finish(self) -> None:
        """Read and draw everything now; for pictures and tests."""
        while self._timer.isActive():
            self._go_on()

    def _go_on(self) -> None:
        """Read one more file, or draw one more picture."""
        facts = next(self._reading, None)
        if facts is not None:
            self._facts.append(facts)
            if facts.answers(self.search.text()):
                self._add(facts)
            return
        undrawn = next((one for one in self.shown if one.path not in self._pictures), None)
        if undrawn is None:
            self._timer.stop()
            return
        self._pictures[undrawn.path] = _picture(undrawn.lesson, self.devicePixelRatioF())
        self.list.viewport().update()

    def _add(self, facts: LessonFacts) -> None:
        item = QListWidgetItem(facts.title, self.list)
        item.setData(_FACTS, facts)
        item.setData(Qt.ItemDataRole.AccessibleDescriptionRole, ", ".join(_lines(facts)))
        item.setToolTip(str(facts.path))
        if self.list.currentRow() < 0:
            self.list.setCurrentRow(0)

    def _fill(self) -> None:
        self.list.clear()
        for facts in self._facts:
            if facts.answers(self.search.text()):
                self._add(facts)
        self._timer.start()

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.accept()
            self.chosen.emit(item.data(_FACTS).path)

    def _ask_for_folder(self) -> None:
        name = QFileDialog.getExistingDirectory(self, say("Lessons of which folder"), self._folder.text())
        if name:
            self.show_folder(Path(name))

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if step_by_key(self.list, key, page=4):
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._choose(self.list.currentItem())
                return True
        return super().eventFilter(watched, event)


class _Delegate(QStyledItemDelegate):
    """The page at the left, what is told of it at the right."""

    def __init__(self, shelf: LessonShelf) -> None:
        super().__init__(shelf)
        self._shelf = shelf

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        return QSize(300, _ROW)

    def paint(
        self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        tones = tones_of(cast(QApplication, QApplication.instance()))
        rect = cast(QRect, option.rect)  # type: ignore[attr-defined]
        state = option.state  # type: ignore[attr-defined]
        facts: LessonFacts = index.data(_FACTS)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink, quiet = paint_ground(painter, rect.adjusted(0, 1, -4, -1), state, tones, 5)
        page = QRect(rect.left() + 8, rect.top() + (_ROW - _PAGE_HIGH) // 2, _PAGE_WIDE, _PAGE_HIGH)
        painter.fillRect(page, QColor(tones.paper))
        pixmap = self._shelf.picture(facts)
        if pixmap is not None:
            painter.drawPixmap(page, pixmap)
        words = rect.adjusted(_PAGE_WIDE + 24, 12, -12, -8)
        painter.setFont(interface_font(12, is_bold=True))
        painter.setPen(QColor(ink))
        metrics = painter.fontMetrics()
        title = metrics.elidedText(facts.title, Qt.TextElideMode.ElideRight, words.width())
        painter.drawText(words, Qt.AlignmentFlag.AlignTop, title)
        painter.setFont(interface_font(9.5))
        painter.setPen(QColor(quiet))
        metrics, top = painter.fontMetrics(), words.top() + metrics.height() + 4
        for line in _lines(facts):
            shown = metrics.elidedText(line, Qt.TextElideMode.ElideRight, words.width())
            painter.drawText(QRect(words.left(), top, words.width(), metrics.height()), 0, shown)
            top += metrics.height() + 2
        painter.restore()


def _lines(facts: LessonFacts) -> tuple[str, ...]:
    changed = facts.changed.strftime("%d.%m.%Y %H:%M")
    if facts.lesson is None:
        return facts.problem, say("Changed {changed}  ·  {name}", changed=changed, name=facts.path.name)
    keys = ", ".join(map(str, facts.keys))
    return (
        keys,
        ", ".join(facts.families) or say("No drills yet"),
        say("Changed {changed}  ·  {name}", changed=changed, name=facts.path.name),
    )


def _picture(lesson: Lesson | None, ratio: float) -> QPixmap:
    """The first page of a lesson; an empty one where it cannot be read."""
    tones = tones_of(cast(QApplication, QApplication.instance()))
    pixmap = QPixmap(round(_PAGE_WIDE * ratio), round(_PAGE_HIGH * ratio))
    pixmap.fill(QColor(tones.paper))
    if lesson is not None:
        page = pages_of(replace(lesson, blocks=lesson.blocks[:_FIRST_BLOCKS]))[0]
        painter = QPainter(pixmap)
        scale = ratio * _PAGE_WIDE / page.width
        painter.scale(scale, scale)
        for part in page.parts:
            paint(part.placed, QtPainter(painter, tones.page_ink, tones.paper))
        painter.end()
    pixmap.setDevicePixelRatio(ratio)
    return pixmap
