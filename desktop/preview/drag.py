"""A drag of blocks on the desk: it begins after a short way and knows between which blocks it would end."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF

from desktop.preview.page_layout import PageLayout


class BlockDrag:
    """From press to release. ``place`` is where the dragged blocks would come, before the block that stands there now;
    None while nothing is dragged.
    """

    def __init__(self) -> None:
        self._pressed_at: QPointF | None = None
        self.place: int | None = None

    def press(self, point: QPointF) -> None:
        """The button went down on a block."""
        self._pressed_at = point

    def move(
        self, on_screen: QPointF, on_desk: QPointF, layout: PageLayout, blocks: Sequence[str], least_way: int
    ) -> bool:
        """The hand moved with the button down; says whether this is a drag."""
        if self._pressed_at is None:
            return False
        if self.place is None and (on_screen - self._pressed_at).manhattanLength() < least_way:
            return False
        self.place = place_at(on_desk, layout, blocks)
        return True

    def release(self) -> None:
        """The drag is over, or given up."""
        self._pressed_at = None
        self.place = None


def place_at(point: QPointF, layout: PageLayout, blocks: Sequence[str]) -> int:
    """The place among the blocks that a point of the desk lies nearest to."""
    page = layout.page_at(point.x(), point.y())
    place = 0
    for index, block_id in enumerate(blocks):
        for on_page, box in layout.block_boxes.get(block_id, ()):
            if on_page < page or (on_page == page and (box.top + box.bottom) / 2 < point.y()):
                place = index + 1
    return place
