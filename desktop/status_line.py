"""The line below the pages: which page is seen, and how large."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QSize
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QToolButton

from desktop.forms.row import quiet_label
from desktop.preview.drawn_pages import DrawnPages
from desktop.preview.pages_view import PagesView
from desktop.words import say


class StatusLine(QFrame):
    """Page and zoom."""

    def __init__(
        self, view: PagesView, drawn: DrawnPages, has_sides: Callable[[], bool] = lambda: False
    ) -> None:  # fmt: skip
        super().__init__()
        self._has_sides = has_sides
        self._view = view
        self._drawn = drawn
        self.setObjectName("statusLine")
        self._page = quiet_label("")
        self._page.setObjectName("quiet")
        self._zoom = quiet_label("")
        self._zoom.setObjectName("quiet")
        self._buttons: list[QToolButton] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(16, 2, 8, 2)
        self._row.setSpacing(4)
        self._row.addWidget(self._page)
        self._row.addStretch(1)
        self._row.addWidget(self._zoom)
        self._row.addSpacing(8)
        view.moved.connect(self._show)
        view.zoomed.connect(self._show)
        drawn.changed.connect(self._show)
        self._show()

    def set_actions(self, actions: list[QAction]) -> None:
        """The ways to zoom, as buttons at the right."""
        for action in actions:
            button = QToolButton()
            button.setDefaultAction(action)
            button.setProperty("segment", True)
            self._row.addWidget(button)
            self._buttons.append(button)
        self._fit()

    def _fit(self) -> None:
        """Leave buttons out where the line is too short for all; the menu has them, too."""
        margins = self._row.contentsMargins()
        room = self.width() - margins.left() - margins.right() - self._page.sizeHint().width() - 24
        room -= self._zoom.sizeHint().width()
        for button in reversed(self._buttons):
            room -= button.sizeHint().width() + self._row.spacing()
            button.setVisible(room >= 0)

    def _show(self) -> None:
        count = len(self._drawn.pages)
        if self._has_sides():
            words = say("Side {min} of {count}", min=min(self._view.page_number, count), count=count)
        elif count > 1:
            words = say("Page {min} of {count}", min=min(self._view.page_number, count), count=count)
        else:
            words = say("One page")
        self._page.setText(words)
        self._zoom.setText(f"{self._view.zoom:.0%}".replace("%", " %"))

    # Qt overrides

    def minimumSizeHint(self) -> QSize:
        # The buttons make no window wider.
        return QSize(200, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()
