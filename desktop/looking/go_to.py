"""The lesson's outline over the pages: go to a heading, a drill or a page by its words or its number."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from desktop.editing.insertable import is_begun
from desktop.painting.list_rows import step_by_key
from desktop.preview.page_layout import PageLayout
from desktop.spoken import spoken
from desktop.words import say
from lessonkit.lesson.lesson import Drill, Heading, Lesson
from lessonkit.values import dataclass

_PLACE = Qt.ItemDataRole.UserRole
_ACROSS, _DOWN = 480, 440


@dataclass(frozen=True, slots=True)
class OutlinePlace:
    """A heading, a drill or a page: its words, how far it is set in, its page and its block (empty for a page)."""

    words: str
    depth: int
    page: int
    block_id: str = ""


def outline_of(lesson: Lesson, layout: PageLayout) -> tuple[OutlinePlace, ...]:
    """The lesson's headings with the drills below them, each with its page."""
    depth, found = 0, []
    for block in lesson.blocks:
        stretches = layout.block_boxes.get(block.id)
        if stretches is None or not isinstance(block, Heading | Drill):
            continue
        words = spoken(block, lesson.setting)
        if isinstance(block, Heading):
            depth, words = block.level, words.removeprefix("Heading: ")
        set_in = depth - 1 if isinstance(block, Heading) else depth
        found.append(OutlinePlace(words, set_in, stretches[0][0] + 1, block.id))
    return tuple(found)


class GoTo(QFrame):
    """A field over the outline."""

    chosen = Signal(object)
    """Go to this place."""

    closed = Signal()

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("palette")
        self._outline: tuple[OutlinePlace, ...] = ()
        self._pages = 0
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("Where to? Words of a heading or drill, or a page's number"))
        self.search.setAccessibleName(say("Where to"))
        self.search.textChanged.connect(self._fill)
        self.search.installEventFilter(self)
        self.list = QListWidget()
        self.list.setObjectName("goToList")
        self.list.setAccessibleName(say("Outline of the lesson"))
        self.list.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.list.setFocusProxy(self.search)
        self.list.setFrameShape(QFrame.Shape.NoFrame)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.itemClicked.connect(self._choose)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(12, 12, 12, 12)
        layout.setSpacing(8)
        layout.addWidget(self.search)
        layout.addWidget(self.list, 1)
        self.hide()

    def open(self, outline: tuple[OutlinePlace, ...], pages: int, here: int, place: QRect) -> None:
        """Offer the outline over a place; ``here`` is the page that is seen."""
        self._outline, self._pages = outline, pages
        across, down = min(_ACROSS, place.width() - 16), min(_DOWN, place.height() - 32)
        self.setGeometry(place.left() + (place.width() - across) // 2, place.top() + 16, across, down)
        self.search.clear()
        self._fill("")
        rows = [row for row, one in enumerate(outline) if one.page >= here]
        self.list.setCurrentRow(rows[0] if rows else 0)
        self.show()
        self.raise_()
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @property
    def shown(self) -> tuple[OutlinePlace, ...]:
        """The places that answer what was typed."""
        return tuple(self.list.item(row).data(_PLACE) for row in range(self.list.count()))

    def _fill(self, typed: str) -> None:
        self.list.clear()
        number = int(typed) if typed.strip().isdecimal() and len(typed) < 5 else 0
        places = [OutlinePlace(say("Page {number}", number=number), 0, number)] if 1 <= number <= self._pages else []
        places += [one for one in self._outline if is_begun(typed, one.words)]
        for one in places:
            item = QListWidgetItem(
                "      " * one.depth + say("{words}  ·  page {page}", words=one.words, page=one.page),
                self.list,
            )
            item.setData(_PLACE, one)
            if one.block_id and one.depth == 0:
                font = item.font()
                font.setBold(True)
                item.setFont(font)
            if not one.block_id:
                item.setText(one.words)
        self.list.setCurrentRow(0)

    def _choose(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.hide()
            self.chosen.emit(item.data(_PLACE))

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusOut and self.window().isActiveWindow():
            self.hide()
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = Qt.Key(event.key())
            if step_by_key(self.list, key, page=10):
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self._choose(self.list.currentItem())
                return True
            if key == Qt.Key.Key_Escape:
                self.hide()
                self.closed.emit()
                return True
        return super().eventFilter(watched, event)
