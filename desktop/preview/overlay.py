"""What other parts of the window lay over the pages: marks that are seen on the screen and never printed."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from desktop.preview.page_layout import PageLayout


class Overlay:
    """Marks over the pages. Points and rectangles are the desk's. What is not overridden does nothing."""

    def paint(self, painter: QPainter, layout: PageLayout, shown: QRectF) -> None:
        """Paint what lies in the part that is shown."""

    def block_at(self, layout: PageLayout, point: QPointF) -> str:
        """The block whose mark is under a point; empty where none is."""
        return ""

    def click(self, layout: PageLayout, point: QPointF) -> None:
        """The hand clicked on one of the marks."""

    def hover(self, layout: PageLayout, point: QPointF) -> bool:
        """The hand is over the pages; says whether something must be painted anew."""
        return False

    def tip(self, layout: PageLayout, point: QPointF) -> str:
        """What is said of the mark under a point; empty for nothing."""
        return ""

    is_typed_into = False
    """Whether the marks are written into, so that the pointer says so."""
