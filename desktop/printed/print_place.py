"""The place of the pages: the lesson's own, or what will be printed. The latter is made when it is first seen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QStackedWidget, QWidget

if TYPE_CHECKING:
    from desktop.desk import Desk
    from desktop.printed.print_preview import PrintPreview


class PrintPlace(QStackedWidget):
    """Goes from the pages to what will be printed, and back."""

    changed = Signal()
    """The other one is seen."""

    def __init__(self, desk: Desk, pages: QWidget) -> None:
        super().__init__()
        self._desk = desk
        self._pages = pages
        self.preview: PrintPreview | None = None
        self.addWidget(pages)

    def turn(self) -> None:
        """From one to the other."""
        if self._desk.sees_printed:
            self.close_preview()
        elif self._desk.view_in_sight is self._desk.view:
            self._open()

    def close_preview(self) -> None:
        """Back to the lesson."""
        if not self._desk.sees_printed:
            return
        self._desk.files.prints_seen = None
        self._desk.view_in_sight = self._desk.view
        self.setCurrentWidget(self._pages)
        self._desk.view.setFocus()
        self.changed.emit()

    def _open(self) -> None:
        if self.preview is None:
            from desktop.printed.print_preview import PrintPreview

            self.preview = PrintPreview(self._desk.open_lesson, self._desk.files, self._desk.messages.tell)
            self.preview.back_asked.connect(self.close_preview)
            self.addWidget(self.preview)
        self._desk.files.prints_seen = self.preview.print_seen
        self._desk.view_in_sight = self.preview.view
        self.setCurrentWidget(self.preview)
        self.preview.follow()
        self.preview.view.setFocus()
        self.changed.emit()
