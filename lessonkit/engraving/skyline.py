"""How far the ink of a system reaches at each place. What is put outside goes beyond it and adds to it."""

from __future__ import annotations

import re
from functools import lru_cache

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE
from lessonkit.engraving.ink import Ink

_CELL = UNITS_IN_SPACE // 3

_ARC_STEPS = 12
"""In how many straight pieces a slur is added."""


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
        boxes: dict[tuple[int, float], tuple[float, float, float, float]] = {}
        for code, x, y, scale, _, _, _ in ink.signs:
            box = boxes.get((code, scale))
            if box is None:
                box = boxes[code, scale] = _ink_of(code, scale)
            left, above, right, below = box
            if y + above < top_line or y + below > bottom_line:
                add(x + left, x + right, y + above, y + below)
        above_all, below_all, last = self._top, self._bottom, count - 1
        for x1, y1, x2, y2, _, kind in ink.strokes:
            if y1 < top_line or y2 < top_line or y1 > bottom_line or y2 > bottom_line:
                if y1 > y2:
                    y1, y2 = y2, y1
                if kind == "system":
                    continue
                if x1 == x2:
                    # Most strokes are stems, and a stem lies in one cell.
                    cell = x1 // _CELL
                    if 0 <= cell <= last:
                        if y1 < above_all[cell]:
                            above_all[cell] = y1
                        if y2 > below_all[cell]:
                            below_all[cell] = y2
                else:
                    add(x1, x2, y1, y2) if x1 <= x2 else add(x2, x1, y1, y2)
        for points, _ in ink.polygons:
            self._add_slope(points)
        for x, y, radius in ink.dots:
            add(x - radius, x + radius, y - radius, y + radius)
        for text, _, kind in ink.curves:
            if kind == "tie":
                numbers = [float(number) for number in re.findall(r"-?\d+", text)]
                self.add(min(numbers[0::2]), max(numbers[0::2]), min(numbers[1::2]), max(numbers[1::2]))
            elif kind == "slur":
                self._add_arc([float(number) for number in re.findall(r"-?\d+", text)])
        for roll in ink.rolls:
            heights = [sign.y - (sign.x - roll[0].x) for sign in roll]
            self.add(roll[0].x - 60, roll[0].x + 60, min(heights) - 200, max(heights))

    def add(self, left: float, right: float, top: float, bottom: float) -> None:
        """Add a rectangle of ink."""
        above, below = self._top, self._bottom
        first, end = int(left // _CELL), int(right // _CELL) + 1
        if first < 0:
            first = 0
        if end > len(above):
            end = len(above)
        highest, lowest = int(top), int(bottom)
        for cell in range(first, end):
            if highest < above[cell]:
                above[cell] = highest
            if lowest > below[cell]:
                below[cell] = lowest

    def _add_arc(self, numbers: list[float]) -> None:
        """Add a slur, given as two curves there and back: the outer one, piece by piece."""
        if self.top_line <= min(numbers[1::2]) and max(numbers[1::2]) <= self.bottom_line:
            return
        there, back = numbers[0:8], numbers[6:14]
        middle = (there[1] + there[7]) / 2
        x0, y0, x1, y1, x2, y2, x3, y3 = max(there, back, key=lambda curve: abs(curve[3] + curve[5] - 2 * middle))
        before_x, before_y = x0, y0
        for step in range(1, _ARC_STEPS + 1):
            t = step / _ARC_STEPS
            a, b, c, d = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t**2, t**3
            x, y = a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3
            self.add(min(before_x, x), max(before_x, x), min(before_y, y), max(before_y, y))
            before_x, before_y = x, y

    def _add_slope(self, points: tuple[int, ...]) -> None:
        """Add a beam: a band between its left and right edges, given corner by corner."""
        xs, ys = points[0::2], points[1::2]
        left, right = min(xs), max(xs)
        if min(ys) < self.top_line:
            start = min(y for x, y in zip(xs, ys, strict=True) if x == left)
            end = min(y for x, y in zip(xs, ys, strict=True) if x == right)
            first, heights = self._lean(left, right, start, end, -1)
            edge = self._top
            edge[first : first + len(heights)] = map(min, edge[first:], heights)
        if max(ys) > self.bottom_line:
            start = max(y for x, y in zip(xs, ys, strict=True) if x == left)
            end = max(y for x, y in zip(xs, ys, strict=True) if x == right)
            first, heights = self._lean(left, right, start, end, 1)
            edge = self._bottom
            edge[first : first + len(heights)] = map(max, edge[first:], heights)

    def _lean(self, left: int, right: int, start: int, end: int, outwards: int) -> tuple[int, list[int]]:
        """The cells under a leaning band's outer side: the first of them, and how far out each lies."""
        slope = (end - start) * _CELL / max(right - left, 1)
        first, last = max(0, left // _CELL), min(len(self._top) - 1, right // _CELL)
        # Of each cell the side counts that lies farther out; at its end the band reaches no farther than its corner.
        y = start + slope * (first - left / _CELL) + (slope if slope * outwards > 0 else 0)
        heights = [int(y + slope * cell) for cell in range(last - first + 1)]
        farthest = (max if outwards > 0 else min)(start, end)
        for cell in (0, -1):
            if heights and (heights[cell] - farthest) * outwards > 0:
                heights[cell] = farthest
        return first, heights

    def top(self, left: float, right: float) -> int:
        """The highest ink between two places."""
        first = int(left // _CELL)
        cells = self._top[first if first > 0 else 0 : int(right // _CELL) + 1]
        return min(cells) if cells else self.top_line

    def bottom(self, left: float, right: float) -> int:
        """The lowest ink between two places."""
        first = int(left // _CELL)
        cells = self._bottom[first if first > 0 else 0 : int(right // _CELL) + 1]
        return max(cells) if cells else self.bottom_line

    @property
    def highest(self) -> int:
        """The highest ink of all."""
        return min(self._top)

    @property
    def lowest(self) -> int:
        """The lowest ink of all."""
        return max(self._bottom)
