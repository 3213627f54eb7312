"""The window before its parts are there: the quiet room with an empty sheet, painted at once while the rest is fetched.

Only Qt and the theme are needed here. ``notebook.py`` puts the parts in.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QCloseEvent, QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QApplication, QMainWindow, QWidget

from desktop.memory import Memory
from desktop.theme import enlarged, tones_of

STRIP_HEIGHT, SHELF_WIDTH, PANEL_WIDTH = 83, 232, 360
"""The sizes of the strip of keys, of the shelf and of the panel of settings, in pixels."""

MOST_LARGER = 1.6
"""So many times wider panels get for larger words; beyond that the pages would have no room, and words are wrapped."""


def panel_width() -> int:
    """The width of the panel of settings, in pixels, for words as large as they are."""
    return round(PANEL_WIDTH * min(enlarged(), MOST_LARGER))


class NotebookFrame(QMainWindow):
    """A window of the remembered size. Whoever furnishes it says whether it may be closed."""

    def __init__(self, memory: Memory) -> None:
        super().__init__()
        self.ask_to_close: Callable[[], bool] = lambda: True
        self.setWindowTitle("lessonkit")
        self.setMinimumSize(960, 560)
        self.resize(1440, 900)
        if memory.geometry is not None:
            self.restoreGeometry(memory.geometry)
        self._empty_room = EmptyRoom(memory.shows_shelf)
        self.setCentralWidget(self._empty_room)

    def when_seen(self, then: Callable[[], object]) -> None:
        """Do this once the window has been painted."""
        self._empty_room.then = then

    def show_pages(self, view: QWidget) -> None:
        """Show pages where they will be, before the parts around them are there."""
        self._empty_room.show_pages(view)

    # Qt overrides

    def closeEvent(self, event: QCloseEvent) -> None:
        if self.ask_to_close():
            event.accept()
        else:
            event.ignore()


class EmptyRoom(QWidget):
    """Desk, panels and a sheet where they will be."""

    def __init__(self, shows_shelf: bool) -> None:
        super().__init__()
        self._left = SHELF_WIDTH if shows_shelf else 0
        self.then: Callable[[], object] | None = None
        self._view: QWidget | None = None

    def show_pages(self, view: QWidget) -> None:
        """Lay the pages on the desk."""
        self._view = view
        view.setParent(self)
        view.setGeometry(self._desk().toRect())
        view.show()

    def _desk(self) -> QRectF:
        width = self.width() - self._left - PANEL_WIDTH
        return QRectF(self._left, STRIP_HEIGHT, width, self.height() - STRIP_HEIGHT)

    # Qt overrides

    def resizeEvent(self, event: QResizeEvent) -> None:
        if self._view is not None and self._view.parent() is self:
            self._view.setGeometry(self._desk().toRect())

    def paintEvent(self, event: QPaintEvent) -> None:
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        tones = tones_of(application)
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(tones.panel))
        desk = self._desk()
        painter.fillRect(desk, QColor(tones.desk))
        painter.fillRect(desk.adjusted(32, 32, -44, 0), QColor(tones.paper))
        painter.end()
        if self.then is not None:
            QTimer.singleShot(0, self.then)
            self.then = None
