"""The help beside the rooms: a list to search, and a page for what was chosen from it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, Qt, QUrl, Signal
from PySide6.QtGui import QFont, QKeyEvent, QTextCharFormat, QTextCursor, QTextDocument
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QStackedWidget,
    QTextBrowser,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
)

from desktop.editing.insertable import is_begun
from desktop.helping.explained import PICTURE, explained, picture_of
from desktop.helping.listed_actions import ListedAction
from desktop.open_lesson import OpenLesson
from desktop.theme import RESOURCES
from desktop.words import say
from lessonkit.drills.chord_map import ChordMap
from lessonkit.drills.declared import Declared
from lessonkit.drills.family import DrillFamily, families
from lessonkit.lesson.lesson import Aid, Block, DifficultyMap, Drill
from lessonkit.lesson.page_aid import PageAid, page_aids

WIDTH = 392
"""The width of the help in pixels."""

NEWS = RESOURCES / "whats_new.md"
"""What a teacher notices of the last changes."""

_PAGE_MARGIN = 16
_TOPIC = Qt.ItemDataRole.UserRole

Kind = type[Declared]


class HelpPart(QFrame):
    """Searches and explains; an action that is chosen is wished for, and done elsewhere."""

    action_asked = Signal(str)
    """This action is wanted, by its name in the table."""

    closed = Signal()

    def __init__(self, open_lesson: OpenLesson) -> None:
        super().__init__()
        self._open_lesson = open_lesson
        self._actions: list[ListedAction] = []
        self._shown: Kind | None = None
        self.setObjectName("helpPart")
        self.setFixedWidth(WIDTH)
        self.search = QLineEdit()
        self.search.setPlaceholderText(say("Search the help"))
        self.search.setAccessibleName(say("Search the help"))
        self.search.setClearButtonEnabled(True)
        self.search.textChanged.connect(self._fill)
        self.search.installEventFilter(self)
        self.back = QPushButton(say("All help"))
        self.back.clicked.connect(lambda: self.show_list())
        shut = QPushButton(say("Close"))
        shut.setAccessibleName(say("Close the help"))
        shut.clicked.connect(self.shut)
        self.list = _list()
        self.list.itemActivated.connect(self._take)
        self.list.itemClicked.connect(self._look)
        self.page = QTextBrowser()
        self.page.setObjectName("helpPage")
        self.page.setFrameShape(QFrame.Shape.NoFrame)
        self.page.setAccessibleName(say("Help"))
        self.page.setOpenLinks(False)
        self.page.document().setDocumentMargin(_PAGE_MARGIN)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.list)
        self.stack.addWidget(self.page)
        head = QHBoxLayout()
        head.setContentsMargins(12, 8, 12, 8)
        head.setSpacing(8)
        head.addWidget(self.back)
        head.addWidget(self.search, 1)
        head.addStretch()
        head.addWidget(shut)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addLayout(head)
        layout.addWidget(self.stack, 1)

    @property
    def topics(self) -> list[str]:
        """The words of everything that the list shows now."""
        return [item.text(0) for group in self._groups() for item in _children(group)]

    def list_also(self, actions: Iterable[ListedAction]) -> None:
        """Put further actions onto the list."""
        self._actions += actions
        self._fill(self.search.text())

    def show_list(self, search: str = "") -> None:
        """Show the list, with these words searched for."""
        self._shown = None
        self.back.hide()
        self.search.show()
        self.search.setText(search)
        self._fill(search)
        self.stack.setCurrentWidget(self.list)
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def show_kind(self, kind: Kind) -> None:
        """Explain a drill family or an aid."""
        self._shown = kind
        lesson = self._open_lesson.lesson
        across, ratio = WIDTH - 2 * _PAGE_MARGIN - 16, self.devicePixelRatioF()
        picture = picture_of(_sample(kind), lesson, across, ratio)
        size = None if picture is None else picture.deviceIndependentSize().toSize()
        if picture is not None:
            self.page.document().addResource(QTextDocument.ResourceType.ImageResource, QUrl(PICTURE), picture)
        self.page.setHtml(explained(kind, lesson, size))
        self._show_page()

    def show_news(self) -> None:
        """Show what is new."""
        self._shown = None
        self.page.setMarkdown(_news(NEWS))
        _lighten(self.page.document())
        self._show_page()

    def follow(self) -> None:
        """The lesson is in another key, or the window in other tones: what is explained is drawn again."""
        if self._shown is not None and self.isVisible():
            at = self.page.verticalScrollBar().value()
            self.show_kind(self._shown)
            self.page.verticalScrollBar().setValue(at)

    def shut(self) -> None:
        """Put the help away."""
        self.hide()
        self.closed.emit()

    def _show_page(self) -> None:
        self.back.show()
        self.search.hide()
        self.stack.setCurrentWidget(self.page)
        self.page.verticalScrollBar().setValue(0)
        if not self._holds_focus():
            self.page.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _holds_focus(self) -> bool:
        focus = self.window().focusWidget()
        return focus is not None and (focus is self.page or focus is self.back)

    def _fill(self, typed: str) -> None:
        self.list.clear()
        kinds: Sequence[tuple[str, Iterable[Kind]]] = (
            (say("Drills"), (*families().values(), ChordMap)),
            (say("Beside the music"), page_aids().values()),
        )
        for title, members in kinds:
            found = [kind for kind in members if is_begun(typed, _text_of(kind))]
            self._add_group(title, [(say(kind.title), "", kind, say(kind.about())) for kind in found])
        actions = [one for one in self._actions if is_begun(typed, f"{one.words} {one.place} {one.keys}")]
        rows = [
            (one.words, one.keys, one.name, say("{place} · a double click or Enter does it", place=one.place))
            for one in actions
        ]
        self._add_group(say("What can be done, and by which keys"), rows, is_first=True)
        if not self.list.topLevelItemCount():
            item = QTreeWidgetItem(self.list, [say("Nothing in the help is called so.")])
            item.setFlags(Qt.ItemFlag.NoItemFlags)
            item.setFirstColumnSpanned(True)
        first = self.list.topLevelItem(0)
        found = _children(first) if first is not None else []
        if found:
            self.list.setCurrentItem(found[0])

    def _add_group(self, title: str, rows: Sequence[tuple[str, str, object, str]], is_first: bool = False) -> None:
        if not rows:
            return
        group = QTreeWidgetItem([title])
        group.setFlags(Qt.ItemFlag.ItemIsEnabled)
        font = self.list.font()
        font.setBold(True)
        group.setFont(0, font)
        self.list.insertTopLevelItem(0 if is_first else self.list.topLevelItemCount(), group)
        group.setFirstColumnSpanned(True)
        for words, keys, topic, tip in rows:
            item = QTreeWidgetItem(group, [words, keys])
            item.setToolTip(0, tip)
            item.setData(0, _TOPIC, topic)
            item.setData(0, Qt.ItemDataRole.AccessibleDescriptionRole, tip)
        group.setExpanded(True)

    def _look(self, item: QTreeWidgetItem) -> None:
        """A click explains; it does nothing to the lesson."""
        if not isinstance(item.data(0, _TOPIC), str):
            self._take(item)

    def _take(self, item: QTreeWidgetItem) -> None:
        topic = item.data(0, _TOPIC)
        if isinstance(topic, str):
            self.action_asked.emit(topic)
        elif topic is not None:
            self.show_kind(topic)

    def _groups(self) -> list[QTreeWidgetItem]:
        items = (self.list.topLevelItem(row) for row in range(self.list.topLevelItemCount()))
        return [item for item in items if item is not None]

    def _step(self, by: int) -> None:
        items = [item for group in self._groups() for item in _children(group)]
        current = self.list.currentItem()
        if items:
            place = items.index(current) + by if current in items else 0
            self.list.setCurrentItem(items[min(max(place, 0), len(items) - 1)])

    # Qt overrides

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            steps = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: 12, Qt.Key.Key_PageUp: -12}
            key = Qt.Key(event.key())
            if key in steps:
                self._step(steps[key])
                return True
            current = self.list.currentItem()
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and current is not None:
                self._take(current)
                return True
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() != Qt.Key.Key_Escape:
            super().keyPressEvent(event)
        elif self.stack.currentWidget() is self.page:
            self.show_list()
        else:
            self.shut()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.follow()


def _list() -> QTreeWidget:
    tree = QTreeWidget()
    tree.setObjectName("helpList")
    tree.setAccessibleName(say("Help"))
    tree.setFrameShape(QFrame.Shape.NoFrame)
    tree.setColumnCount(2)
    tree.setHeaderHidden(True)
    tree.setRootIsDecorated(False)
    tree.setIndentation(0)
    tree.setUniformRowHeights(True)
    tree.setItemsExpandable(False)
    tree.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    tree.setColumnWidth(0, WIDTH - 128)
    return tree


def _sample(kind: Kind) -> Block:
    """A block of a kind as it comes."""
    if issubclass(kind, PageAid):
        return Aid(kind())
    return Drill(kind()) if issubclass(kind, DrillFamily) else DifficultyMap()


def _children(group: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    items = (group.child(row) for row in range(group.childCount()))
    return [item for item in items if item is not None]


def _text_of(kind: Kind) -> str:
    """Everything that a page can be found by."""
    labels = (param.label for param in kind.declared().values())
    return " ".join((say(kind.title), say(kind.about()), *getattr(kind, "words", ()), *map(say, labels)))


def _lighten(document: QTextDocument) -> None:
    """The faces of the window have no bolder letters than half bold ones; bolder ones would be smeared."""
    block = document.begin()
    while block.isValid():
        for part in block.textFormats():
            if part.format.fontWeight() > QFont.Weight.DemiBold:  # type: ignore[attr-defined]
                cursor = QTextCursor(block)
                cursor.setPosition(block.position() + part.start)  # type: ignore[attr-defined]
                end = block.position() + part.start + part.length  # type: ignore[attr-defined]
                cursor.setPosition(end, QTextCursor.MoveMode.KeepAnchor)
                lighter = QTextCharFormat()
                lighter.setFontWeight(QFont.Weight.DemiBold)
                cursor.mergeCharFormat(lighter)
        block = block.next()


def _news(path: Path) -> str:
    try:
        return path.read_text("utf-8")
    except OSError:
        return say("What is new is not told in this copy of the program.")
