"""Finished pages on sheets twice as large: two side by side, or in the order in which a booklet is folded."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.pages.page import Page
from lessonkit.values import dataclass


class Imposition(Enum):
    """How pages stand on sheets."""

    SINGLE = "single"
    TWO_UP = "two-up"
    BOOKLET = "booklet"


@dataclass(frozen=True, slots=True)
class Laid:
    """A page on a sheet: its left upper corner and its scale."""

    page: Page
    x: float
    y: float
    scale: float = 1.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A side of a sheet of paper in points with the pages on it."""

    width: float
    height: float
    pages: tuple[Laid, ...]


A5_HIGH = 600.0
"""Pages no higher than this, in points, stand two to a sheet in their own size; larger ones are reduced."""


def imposed(pages: Sequence[Page], imposition: Imposition) -> tuple[Sheet, ...]:
    """The sides of sheets to print; for a booklet on both sides, turned over the short edge, then folded.

    Two pages of A4 come to stand on one side of A4 across, each at 71 %; pages of A5 keep their size.
    """
    if imposition is Imposition.SINGLE:
        return tuple(Sheet(page.width, page.height, (Laid(page, 0, 0),)) for page in pages)
    if imposition is Imposition.TWO_UP:
        order = [(number, number + 1) for number in range(0, len(pages), 2)]
    else:
        order = booklet_order(len(pages))
    return tuple(_side(pages, left, right) for left, right in order)


def booklet_order(count: int) -> list[tuple[int, int]]:
    """The pages, 0 the first, that stand left and right on each side; pages beyond the last stay empty.

    Of eight: 8 1, 2 7, 6 3, 4 5 (common practice of saddle stitching).
    """
    full = -(-count // 4) * 4
    sides = []
    for place in range(full // 2):
        low, high = place, full - 1 - place
        sides.append((high, low) if place % 2 == 0 else (low, high))
    return sides


def _side(pages: Sequence[Page], left: int, right: int) -> Sheet:
    first = pages[0]
    width, height = first.height, first.width
    if first.height <= A5_HIGH:
        width, height = 2 * first.width, first.height
    scale = min(width / 2 / first.width, height / first.height)
    laid = []
    for place, number in enumerate((left, right)):
        if number < len(pages):
            page = pages[number]
            x = place * width / 2 + (width / 2 - page.width * scale) / 2
            laid.append(Laid(page, x, (height - page.height * scale) / 2, scale))
    return Sheet(width, height, tuple(laid))
