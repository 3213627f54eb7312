"""How far the ink of a system reaches at each place. What is put outside goes beyond it and adds to it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE
from lessonkit.engraving.ink import Ink

_CELL = UNITS_IN_SPACE // 3


@lru_cache(maxsize=1024)
def _ink_of(code: int, scale: float) -> tuple[float, float, float, float]:
    """The ink of a glyph around its origin: left, top, right, bottom."""
    box = glyph_box(code)
    return box.left * scale, box.top * scale, box.right * scale, box.bottom * scale


class Skyline:
    """Upper and lower edge of the ink in cells a third of a staff space wide; units are the engraver's."""

    def __init__(self, ink: Ink, width: int) -> None:
        count = width // _CELL + 8
        self.top_line = ink.staves[0][2][0]
        self.bottom_line = ink.staves[-1][2][-1]
        self._top = [self.top_line] * count
        self._bottom = [self.bottom_line] * count
        top_line, bottom_line, add = self.top_line, self.bottom_line, self.add
        for code, x, y, scale, *_ in ink.signs:
            left, above, right, below = _ink_of(code, scale)
            if y + above < top_line or y + below > bottom_line:
                add(x + left, x + right, y + above, y + below)
        for x1, y1, x2, y2, _, kind in ink.strokes:
            if y1 < top_line or y2 < top_line or y1 > bottom_line or y2 > bottom_line:
                if kind == "system":
                    continue
                if y1 > y2:
                    y1, y2 = y2, y1
                add(x1, x2, y1, y2) if x1 <= x2 else add(x2, x1, y1, y2)
        for points, _ in ink.polygons:
            self._add_slope(points)
        for text, _, kind in ink.curves:
            if kind == "tie":
                numbers = [float(number) for number in re.findall(r"-?\d+", text)]
                self.add(min(numbers[0::2]), max(numbers[0::2]), min(numbers[1::2]), max(numbers[1::2]))
        for roll in ink.rolls:
            heights = [sign.y - (sign.x - roll[0].x) for sign in roll]
            self.add(roll[0].x - 60, roll[0].x + 60, min(heights) - 200, max(heights))

    def add(self, left: float, right: float, top: float, bottom: float) -> None:
        """Add a rectangle of ink."""
        above, below = self._top, self._bottom
        first, last = max(0, int(left // _CELL)), min(len(above) - 1, int(right // _CELL))
        for cell in range(first, last + 1):
            if top < above[cell]:
                above[cell] = int(top)
            if bottom > below[cell]:
                below[cell] = int(bottom)

    def _add_slope(self, points: tuple[int, ...]) -> None:
        """Add a beam: a band between its left and right edges, given corner by corner."""
        xs, ys = points[0::2], points[1::2]
        left, right = min(xs), max(xs)
        if min(ys) < self.top_line:
            self._lean(self._top, left, right, xs, ys, min)
        if max(ys) > self.bottom_line:
            self._lean(self._bottom, left, right, xs, ys, max)

    @staticmethod
    def _lean(
        edge: list[int], left: int, right: int, xs: tuple[int, ...], ys: tuple[int, ...], outer: Callable[..., int]
    ) -> None:
        """Move an edge out to a leaning band's outer side, cell by cell."""
        start = outer(y for x, y in zip(xs, ys, strict=True) if x == left)
        end = outer(y for x, y in zip(xs, ys, strict=True) if x == right)
        slope = (end - start) / max(right - left, 1)
        first, last = max(0, left // _CELL), min(len(edge) - 1, right // _CELL)
        # Of each cell the side counts that lies farther out.
        y = start + slope * (first * _CELL - left) + outer(0, slope * _CELL)
        for cell in range(first, last + 1):
            edge[cell] = int(outer(edge[cell], outer(start, end) if outer(y, outer(start, end)) == y else y))
            y += slope * _CELL

    def top(self, left: float, right: float) -> int:
        """The highest ink between two places."""
        return min(self._top[max(0, int(left // _CELL)) : int(right // _CELL) + 1], default=self.top_line)

    def bottom(self, left: float, right: float) -> int:
        """The lowest ink between two places."""
        return max(self._bottom[max(0, int(left // _CELL)) : int(right // _CELL) + 1], default=self.bottom_line)

    @property
    def highest(self) -> int:
        """The highest ink of all."""
        return min(self._top)

    @property
    def lowest(self) -> int:
        """The lowest ink of all."""
        return max(self._bottom)
