"""Makes the strokes of an outline thicker; for building the face of signs by hand, never while the program runs."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot

Point = tuple[float, float]

_MOST_SHARP = 2.0
"""A corner moves out no further than this many times the thickness, however sharp it is."""


def thickened(contours: Sequence[Sequence[Point]], more: float) -> list[list[Point]]:
    """Closed outlines with every edge moved out by ``more``: strokes grow by twice that, and holes shrink.

    Points that only guide a curve are moved like those on it, which is right for so small a distance.

    >>> thickened([[(0, 0), (0, 10), (10, 10), (10, 0)]], 1)
    [[(-1.0, -1.0), (-1.0, 11.0), (11.0, 11.0), (11.0, -1.0)]]
    """
    # The outline of the whole sign runs one way round, its holes the other: one turn does for all of them.
    turn = -1.0 if max((_area(contour) for contour in contours), key=abs) > 0 else 1.0
    return [_moved(contour, turn * more) for contour in contours]


def _area(contour: Sequence[Point]) -> float:
    """Twice the area, negative where it runs clockwise."""
    return sum(
        x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(contour, [*contour[1:], contour[0]], strict=True)
    )  # fmt: skip


def _moved(contour: Sequence[Point], more: float) -> list[Point]:
    """Every point moved to where the moved edges before and behind it meet; to the left for a positive distance."""
    moved: list[Point] = []
    for place, (x, y) in enumerate(contour):
        before = _direction(contour, place, -1)
        after = _direction(contour, place, 1)
        if before is None or after is None:
            moved.append((x, y))
            continue
        (ax, ay), (bx, by) = (-before[0], -before[1]), after
        # The sum of both edges' normals points along the bisector; its length tells how sharp the corner is.
        nx, ny = -(ay + by), ax + bx
        sharpness = max(1 + ax * bx + ay * by, 1 / _MOST_SHARP)
        moved.append((x + more * nx / sharpness, y + more * ny / sharpness))
    return moved


def _direction(contour: Sequence[Point], place: int, step: int) -> Point | None:
    """The direction from a point to its next other one, one unit long; None where all points are one."""
    x, y = contour[place]
    for away in range(1, len(contour)):
        to_x, to_y = contour[(place + step * away) % len(contour)]
        length = hypot(to_x - x, to_y - y)
        if length > 1e-6:
            return (to_x - x) / length, (to_y - y) / length
    return None
