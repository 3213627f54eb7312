"""The ink of a system moved, column by column, to where the columns are to stand. Units are the engraver's."""

from __future__ import annotations

from bisect import bisect_right
from itertools import pairwise

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.columns import Columns
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign, Stroke, new, numbers_of, with_numbers

Slope = tuple[int, int, int, int, int, int]
"""A beam's left and right end, the same after it was moved, and the heights of both."""

_STROKES_IN_BRACKET = 4
_BESIDE_FIGURE = SPACE // 3
_FIGURE = 0.95
"""How large the figures of a time signature are beside the engraver's."""

_SHORT_BEAM = 1.35 * SPACE
"""A beam below this length belongs to one stem alone."""


def move(ink: Ink, columns: Columns, places: list[float]) -> None:
    """Move everything; ``places`` are those of the columns from the beginning of the staves."""
    start = ink.staves[0][0]
    shifts = [
        round(start + place - column.place) if column.place is not None else 0
        for column, place in zip(columns.all, places, strict=True)
    ]
    _Mover(ink, columns, shifts, [start + place for place in places]).move()


class _Mover:
    def __init__(self, ink: Ink, columns: Columns, shifts: list[int], places: list[float]) -> None:
        self._ink, self._columns, self._shifts, self._places = ink, columns, shifts, places
        known = sorted((column.place, shifts[at]) for at, column in enumerate(columns.all) if column.place is not None)
        self._knots = [place for place, _ in known]
        self._knot_shifts = [shift for _, shift in known]

    def move(self) -> None:
        ink, columns, shifts = self._ink, self._columns, self._shifts
        signs = []
        for sign, at in zip(ink.signs, columns.sign_at, strict=True):
            code, x, y, scale, kind, name, staff = sign
            if kind == "meterSig":
                # The figures of a time signature touch one another in their full size.
                box, less = glyph_box(code), scale * (1 - _FIGURE)
                x += shifts[at] + round((box.left + box.right) / 2 * less)
                y, scale = y + round((box.top + box.bottom) / 2 * less), scale * _FIGURE
            elif at >= 0:
                x += shifts[at]
            elif kind == "mRest":
                x = self._centred(sign)
            else:
                x += self._between(x + SPACE // 3)
            signs.append(new(Sign, (code, x, y, scale, kind, name, staff)))
        self._bend_beams()
        strokes = []
        for (x1, y1, x2, y2, width, kind), at in zip(ink.strokes, columns.stroke_at, strict=True):
            if kind in ("hairpin", "tupletBracket"):
                x1, x2 = x1 + self._between(x1), x2 + self._between(x2)
            elif kind != "system":
                shift = shifts[at]
                x1, x2 = x1 + shift, x2 + shift
            strokes.append(new(Stroke, (x1, y1, x2, y2, width, kind)))
        ink.signs[:] = signs
        ink.strokes[:] = strokes
        if any(stroke.kind == "tupletBracket" for stroke in strokes):
            self._centre_figures()
        if ink.curves:
            ink.curves = [(self._slur(text, kind), width, kind) for text, width, kind in ink.curves]
        if ink.dots:
            ink.dots = [
                (x + shifts[at if (at := columns.column_of(name)) >= 0 else columns.before(x)], y, radius)
                for (x, y, radius), name in zip(ink.dots, ink.dot_owners, strict=True)
            ]
        for roll in ink.rolls:
            shift = shifts[columns.after(roll[0].x)]
            roll[:] = [sign._replace(x=sign.x + shift) for sign in roll]
        for name, lines in ink.bar_lines:
            if lines:
                closing = columns.bar_lines[int(name)]
                place = columns.all[closing].place or 0
                shift = shifts[closing if lines[0].x1 >= place - 1 else columns.opening_of(int(name))]
                lines[:] = [line._replace(x1=line.x1 + shift, x2=line.x2 + shift) for line in lines]
        right = ink.staves[0][1] + shifts[-1]
        ink.staves = [(left, right, heights) for left, _, heights in ink.staves]
        ink.bars = [
            (number, left + shifts[columns.opening_of(number)] if at else left)
            for at, (number, left) in enumerate(ink.bars)
        ]

    def _centre_figures(self) -> None:
        """The figure of a tuplet, and the gap for it, in the middle of its bracket."""
        ink = self._ink
        places = [place for place, stroke in enumerate(ink.strokes) if stroke.kind == "tupletBracket"]
        figures = [place for place, sign in enumerate(ink.signs) if sign.kind == "tupletNum"]
        for first in range(0, len(places), _STROKES_IN_BRACKET):
            hook, left, end, right = places[first : first + _STROKES_IN_BRACKET]
            start, inner = ink.strokes[hook].x1, ink.strokes[left].x2
            outer, stop = ink.strokes[right].x2, ink.strokes[end].x1
            middle = (start + stop) / 2
            y = (ink.strokes[left].y2 + ink.strokes[right].y2) / 2
            for place in figures:
                sign = ink.signs[place]
                box, k = glyph_box(sign.code), sign.scale
                x = sign.x + (box.left + box.right) / 2 * k
                if inner - SPACE < x < outer + SPACE and abs(sign.y - y) < 2 * SPACE:
                    half = (box.right - box.left) / 2 * k + _BESIDE_FIGURE
                    ink.signs[place] = sign._replace(x=round(sign.x + middle - x))
                    ink.strokes[left] = ink.strokes[left]._replace(x2=round(middle - half))
                    ink.strokes[right] = ink.strokes[right]._replace(x2=round(middle + half))
                    figures.remove(place)
                    break

    def _between(self, x: float) -> int:
        """The shift of something between columns."""
        at = bisect_right(self._knots, x)
        if at == 0 or at == len(self._knots):
            return self._knot_shifts[max(at - 1, 0)]
        left, right = self._knots[at - 1], self._knots[at]
        one, other = self._knot_shifts[at - 1], self._knot_shifts[at]
        return round(one + (other - one) * (x - left) / max(right - left, 1))

    def _centred(self, sign: Sign) -> int:
        """A bar's rest stands in the middle of its bar, whatever is at its sides."""
        number = int(sign.name.partition("-")[2].partition(".")[0])
        closing, opening = self._columns.bar_lines[number], self._columns.opening_of(number)
        left = self._places[opening] + self._columns.all[opening].right
        box = glyph_box(sign.code)
        return round((left + self._places[closing]) / 2 - (box.left + box.right) * sign.scale / 2)

    def _slur(self, text: str, kind: str) -> str:
        """A slur goes from its one end to its other as before."""
        if kind != "slur":
            return text
        numbers = numbers_of(text)
        columns, shifts = self._columns, self._shifts
        x0, x3 = numbers[0], numbers[6]
        left, right = shifts[columns.nearest(x0)], shifts[columns.nearest(x3)]
        for at in range(0, len(numbers), 2):
            numbers[at] += round(left + (right - left) * (numbers[at] - x0) / max(x3 - x0, 1))
        return with_numbers(text, numbers)

    def _bend_beams(self) -> None:
        """Move beams to their stems; stems and inner beams follow the slope that comes of it."""
        ink, shifts, nearest = self._ink, self._shifts, self._columns.nearest
        if not ink.polygons:
            return
        self._stems = sorted((stroke.x1, at) for at, stroke in enumerate(ink.strokes) if stroke.kind == "stem")
        begins = [*ink.beams, len(ink.polygons)]
        moved = list(ink.polygons)
        for first, last in pairwise(begins):
            slope: Slope | None = None
            for number in range(first, last):
                # Its four corners: along one side, and back along the other.
                (x1, y1, x2, y2, x3, y3, x4, y4), kind = ink.polygons[number]
                if abs(x2 - x1) < _SHORT_BEAM:
                    one = other = shifts[nearest(x1 if self._is_stem(x1) else x2)]
                else:
                    one, other = shifts[nearest(x1)], shifts[nearest(x2)]
                if slope is None:
                    slope = (x1, x2, x1 + one, x2 + other, y1, y2)
                    self._follow(slope)
                else:
                    up, down = _rise(slope, x1, x1 + one), _rise(slope, x2, x2 + other)
                    y1, y2, y3, y4 = y1 + up, y2 + down, y3 + down, y4 + up
                moved[number] = ((x1 + one, y1, x2 + other, y2, x3 + other, y3, x4 + one, y4), kind)
        ink.polygons[:] = moved

    def _is_stem(self, x: int) -> bool:
        at = bisect_right(self._stems, (x - 20, -1))
        return at < len(self._stems) and self._stems[at][0] < x + 20

    def _follow(self, slope: Slope) -> None:
        """Bring the stems under a beam to it where the distances within it are no longer those of before."""
        left, right, _, _, start, end = slope
        if start == end:
            return
        shifts, strokes, stroke_at = self._shifts, self._ink.strokes, self._columns.stroke_at
        steep = end - start
        new_left, before, after = slope[2], max(right - left, 1), max(slope[3] - slope[2], 1)
        first, last = bisect_right(self._stems, (left, len(strokes))), bisect_right(self._stems, (right, -1))
        for x, at in self._stems[first:last]:
            rise = round(steep * ((x + shifts[stroke_at[at]] - new_left) / after - (x - left) / before))
            if not rise:
                continue
            stroke = strokes[at]
            y = start + steep * (x - left) / (right - left)
            if abs(stroke.y1 - y) < 0.6 * SPACE:
                strokes[at] = stroke._replace(y1=stroke.y1 + rise)
            elif abs(stroke.y2 - y) < 0.6 * SPACE:
                strokes[at] = stroke._replace(y2=stroke.y2 + rise)


def _rise(slope: Slope, x: float, moved: float) -> int:
    """How much lower a beam is at a stem after it was moved."""
    left, right, new_left, new_right, start, end = slope
    before = (x - left) / max(right - left, 1)
    after = (moved - new_left) / max(new_right - new_left, 1)
    return round((end - start) * (after - before))
