"""Where pages and blocks lie on the desk. Units: device-independent pixels from the desk's top left corner. No Qt."""

from __future__ import annotations

from functools import cached_property

from lessonkit.drawing.shapes import Box
from lessonkit.pages.page import Page
from lessonkit.values import dataclass

PIXELS_IN_POINT = 96 / 72
"""Pixels to a point at a zoom of 1."""

MARGIN, GAP = 32, 24
"""The desk around the pages, and between them."""

LARGEST_FIT, SMALLEST_PAIR = 1.5, 1.05
"""The largest zoom that fitting chooses, and the smallest at which it puts two pages beside each other."""

REACH = 14.0
"""How far beyond the text a block can still be clicked, in points: into the margin where its mark is."""


@dataclass(frozen=True)
class PageLayout:
    """Pages at a zoom in so many columns on a desk of a width."""

    pages: tuple[Page, ...]
    zoom: float
    columns: int
    desk_width: float

    @property
    def scale(self) -> float:
        """Pixels to a point."""
        return self.zoom * PIXELS_IN_POINT

    @cached_property
    def page_boxes(self) -> tuple[Box, ...]:
        """The rectangle of each page."""
        scale, boxes = self.scale, []
        width, height = self._page_size
        across = self.columns * width + (self.columns - 1) * GAP
        left = max(MARGIN, (self.desk_width - across) / 2)
        for place, page in enumerate(self.pages):
            row, column = divmod(place, self.columns)
            x = round(left + column * (width + GAP))
            y = round(MARGIN + row * (height + GAP))
            boxes.append(Box(x, y, x + round(page.width * scale), y + round(page.height * scale)))
        return tuple(boxes)

    @cached_property
    def size(self) -> tuple[float, float]:
        """The width and height of the desk that the pages need."""
        boxes = self.page_boxes
        return max(box.right for box in boxes) + MARGIN, max(box.bottom for box in boxes) + MARGIN

    @cached_property
    def block_boxes(self) -> dict[str, list[tuple[int, Box]]]:
        """For each block the page (counted from 0) and rectangle of each stretch of it."""
        found: dict[str, list[tuple[int, Box]]] = {}
        for place, page in enumerate(self.pages):
            stretches: dict[str, Box] = {}
            for part in page.parts:
                if part.block_id:
                    box = part.placed.box
                    stretches[part.block_id] = _joined(stretches.get(part.block_id), box)
            for block_id, box in stretches.items():
                found.setdefault(block_id, []).append((place, self._on_desk(place, box)))
        return found

    def first_box(self, block_id: str) -> Box | None:
        """The first stretch of a block; None for a block that takes no room, such as a page break."""
        stretches = self.block_boxes.get(block_id)
        return stretches[0][1] if stretches else None

    def block_at(self, x: float, y: float) -> str:
        """The block under a point of the desk; empty where there is none."""
        reach = REACH * self.scale
        for block_id, stretches in self.block_boxes.items():
            for _, box in stretches:
                if box.top - 3 <= y <= box.bottom + 3 and box.left - reach <= x <= box.right + reach:
                    return block_id
        return ""

    def page_at(self, x: float, y: float) -> int:
        """The page under a point, or the nearest above it; counted from 0."""
        nearest = 0
        for place, box in enumerate(self.page_boxes):
            if box.holds(x, y):
                return place
            if box.top <= y:
                nearest = place
        return nearest

    def blocks_between(self, top: float, bottom: float) -> list[str]:
        """The blocks that show between two heights, in the order of the pages."""
        return [
            block_id
            for block_id, stretches in self.block_boxes.items()
            if any(box.bottom >= top and box.top <= bottom for _, box in stretches)
        ]

    def in_points(self, page: int, x: float, y: float) -> tuple[float, float]:
        """A point of the desk as a place on a page, in points."""
        box = self.page_boxes[page]
        return (x - box.left) / self.scale, (y - box.top) / self.scale

    def on_desk(self, page: int, box: Box) -> Box:
        """A rectangle of a page, in points, as it lies on the desk."""
        return self._on_desk(page, box)

    @property
    def _page_size(self) -> tuple[float, float]:
        return max(page.width for page in self.pages) * self.scale, max(page.height for page in self.pages) * self.scale

    def _on_desk(self, page: int, box: Box) -> Box:
        corner, scale = self.page_boxes[page], self.scale
        return Box(
            corner.left + box.left * scale,
            corner.top + box.top * scale,
            corner.left + box.right * scale,
            corner.top + box.bottom * scale,
        )


def fitting(page: Page, desk_width: float, count: int) -> tuple[float, int]:
    """The zoom and the columns at which pages fill the desk's width: two beside each other where both stay easy to
    read, and never larger than is pleasant.
    """
    one = (desk_width - 2 * MARGIN) / (page.width * PIXELS_IN_POINT)
    two = (desk_width - 2 * MARGIN - GAP) / (2 * page.width * PIXELS_IN_POINT)
    if count > 1 and two >= SMALLEST_PAIR:
        return min(LARGEST_FIT, two), 2
    return max(0.2, min(LARGEST_FIT, one)), 1


def fitting_pair(page: Page, desk_width: float) -> float:
    """The zoom at which two pages fill the desk's width."""
    return max(0.2, min(LARGEST_FIT, (desk_width - 2 * MARGIN - GAP) / (2 * page.width * PIXELS_IN_POINT)))


def fitting_columns(page: Page, zoom: float, desk_width: float, count: int) -> int:
    """How many pages fit beside each other at a zoom: two where there is room for two, else one."""
    width = page.width * zoom * PIXELS_IN_POINT
    return 2 if count > 1 and 2 * width + GAP + 2 * MARGIN <= desk_width else 1


def laid_out(pages: tuple[Page, ...], desk_width: int, zoom: float | None, wants_pairs: bool) -> PageLayout:
    """Pages at a zoom, or filling the desk's width where none was chosen; two beside each other where that is wanted or
    there is room for two.
    """
    own_zoom, columns = fitting(pages[0], desk_width, len(pages))
    if wants_pairs and len(pages) > 1:
        own_zoom, columns = fitting_pair(pages[0], desk_width), 2
    if zoom is None:
        return PageLayout(pages, own_zoom, columns, desk_width)
    columns = 2 if columns == 2 and wants_pairs else fitting_columns(pages[0], zoom, desk_width, len(pages))
    return PageLayout(pages, zoom, columns, desk_width)


def _joined(one: Box | None, other: Box) -> Box:
    if one is None:
        return other
    return Box(
        min(one.left, other.left), min(one.top, other.top), max(one.right, other.right), max(one.bottom, other.bottom)
    )
