"""A desk on which paper lies, zoomed and scrolled. What lies there and what is done with it others say."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAction, QKeyEvent, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from desktop.preview.page_layout import PageLayout
from desktop.words import say

ZOOMS = (0.5, 0.67, 0.8, 0.9, 1.0, 1.1, 1.25, 1.5, 1.75, 2.0, 2.5, 3.0, 4.0)
"""The steps of zooming in and out; 1 is the paper's own size on a common screen."""


class DeskView(QAbstractScrollArea):
    """Pages at a zoom that was chosen or follows the window. Its heirs say where they lie, and paint them."""

    moved = Signal()
    """Pages lie elsewhere on the screen: they were scrolled, zoomed or laid out anew."""

    zoomed = Signal()
    """The zoom is another."""

    def __init__(self, layout: PageLayout, name: str) -> None:
        super().__init__()
        self._layout = layout
        self._chosen_zoom: float | None = None
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(name)
        # One that Python knows already: asked for Qt's own, PySide looks through every class of window there is.
        self._ground = QWidget()
        self.setViewport(self._ground)
        self._ground.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def laid_out(self, width: int) -> PageLayout:
        """Where everything lies on a desk of a width in pixels."""
        raise NotImplementedError

    @property
    def page_layout(self) -> PageLayout:
        """Where everything lies."""
        return self._layout

    @property
    def zoom(self) -> float:
        """The zoom as it is now."""
        return self._layout.zoom

    @property
    def fits_width(self) -> bool:
        """Whether the zoom follows the width of the window."""
        return self._chosen_zoom is None

    @property
    def page_number(self) -> int:
        """The page in the middle of the view, counted from 1."""
        return self._layout.page_at(self._layout.size[0] / 2, self._top + self.viewport().height() / 2) + 1

    def zoom_in(self) -> None:
        """One step larger."""
        self._set_zoom(next((step for step in ZOOMS if step > self.zoom + 0.01), ZOOMS[-1]))

    def zoom_out(self) -> None:
        """One step smaller."""
        self._set_zoom(next((step for step in reversed(ZOOMS) if step < self.zoom - 0.01), ZOOMS[0]))

    def zoom_to_paper(self) -> None:
        """The paper's own size."""
        self._set_zoom(1.0)

    def fit_width(self) -> None:
        """Let the zoom follow the window."""
        self._set_zoom(None)

    def zoom_actions(self) -> list[QAction]:
        """Smaller, larger and as wide as the window, for a row of buttons below."""
        found = []
        for words, call in (
            (say("Smaller"), self.zoom_out), (say("Larger"), self.zoom_in), (say("Fit"), self.fit_width),
        ):  # fmt: skip
            action = QAction(words, self)
            action.triggered.connect(call)
            found.append(action)
        return found

    def lay_out(self) -> None:
        """Lay everything out anew."""
        self._layout = self.laid_out(self.viewport().width())
        width, height = self._layout.size
        view = self.viewport().size()
        for bar, whole, part in (
            (self.horizontalScrollBar(), width, view.width()),
            (self.verticalScrollBar(), height, view.height()),
        ):
            bar.setRange(0, max(0, round(whole) - part))
            bar.setPageStep(part)
            bar.setSingleStep(48)
        self.viewport().update()
        self.moved.emit()

    @property
    def _left(self) -> int:
        return self.horizontalScrollBar().value()

    @property
    def _top(self) -> int:
        return self.verticalScrollBar().value()

    def _set_zoom(self, zoom: float | None) -> None:
        self._chosen_zoom = zoom
        self.lay_out()
        self.zoomed.emit()

    # Qt overrides

    def sizeHint(self) -> QSize:
        return QSize(900, 800)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()
        if self.fits_width:
            self.zoomed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        bar = self.verticalScrollBar()
        match event.key():
            case Qt.Key.Key_Home:
                bar.setValue(0)
            case Qt.Key.Key_End:
                bar.setValue(bar.maximum())
            case _:
                super().keyPressEvent(event)

    def wheelEvent(self, event: QWheelEvent) -> None:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_in() if event.angleDelta().y() > 0 else self.zoom_out()
            event.accept()
        else:
            super().wheelEvent(event)
