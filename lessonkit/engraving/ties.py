"""Ties drawn anew, each from its head to the next: begun and ended beside the heads, with air at either end.

The engraver begins them behind a displaced head also where that stands at the other side of the stem, so that a tie
shrinks to a speck, and ends them on the heads where there is little room. Units are the engraver's.
"""

from __future__ import annotations

from typing import NamedTuple

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.columns import Columns
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign

_BESIDE = SPACE // 4
"""Between a head and its tie, across and down."""

_RISE = 107
_LEAST_RISE = 58
_THICKNESS = 46
_SHORTEST = SPACE * 3 // 4
_FROM_BEFORE = 2 * SPACE
"""How far before its head a tie from the line before begins."""


def tied_columns(columns: Columns, ties: dict[str, str]) -> frozenset[int]:
    """The columns with a note that is tied to the next column."""
    if not ties:
        return frozenset()
    found = set()
    for name, following in ties.items():
        at, after = columns.column_of(name), columns.column_of(following)
        if at >= 0 and after == at + 1:
            found.add(at)
    return frozenset(found)


class _Head(NamedTuple):
    left: float
    right: float
    y: int
    staff: int


def draw_ties(ink: Ink, columns: Columns, ties: dict[str, str]) -> None:
    """Draw the ties of a system whose ink has been moved; ``ties`` leads from the name of each tied note to the next.

    What is tied from the line before, or into the next one, is tied as far as the line reaches.
    """
    widths = [width for _, width, kind in ink.curves if kind == "tie"]
    if not widths:
        return
    chords: dict[tuple[int, int], list[_Head]] = {}
    named: dict[str, tuple[_Head, int]] = {}
    for sign, at in zip(ink.signs, columns.sign_at, strict=True):
        if sign.kind == "notehead" and sign.name[:1] == "e":
            head = _head(sign)
            chords.setdefault((at, sign.staff), []).append(head)
            named[sign.name] = (head, at)
    dots = [(x, y, radius) for x, y, radius in ink.dots]
    before = {name: note for note, name in ties.items()}
    drawn = [curve for curve in ink.curves if curve[2] != "tie"]
    for name, (head, at) in named.items():
        chord = chords[at, head.staff]
        if name in ties:
            way = _way(ink, head, chord)
            y = head.y + way * _BESIDE
            start = _behind(head, chord, dots, y, way)
            following = named.get(ties[name])
            if following is None:
                end = ink.staves[0][1] - _BESIDE
            else:
                end = _before(following[0], chords[following[1], head.staff], y, way)
            drawn.append((arc(start, max(end, start + _SHORTEST), y, way), widths[0], "tie"))
        if name in before and before[name] not in named:
            way = _way(ink, head, chord)
            y = head.y + way * _BESIDE
            end = _before(head, chord, y, way)
            opening = max((one for one in _fixed(ink) if one < end), default=0) + SPACE // 2
            drawn.append((arc(round(max(end - _FROM_BEFORE, opening)), end, y, way), widths[0], "tie"))
    ink.curves = drawn


def _fixed(ink: Ink) -> list[float]:
    """Where clef, signatures and opening lines end."""
    kinds = ("clef", "keyAccid", "meterSig", "barLine")
    return [sign.x + glyph_box(sign.code).right * sign.scale for sign in ink.signs if sign.kind in kinds]


def _head(sign: Sign) -> _Head:
    box = glyph_box(sign.code)
    return _Head(sign.x + box.left * sign.scale, sign.x + box.right * sign.scale, sign.y, sign.staff)


def _way(ink: Ink, head: _Head, chord: list[_Head]) -> int:
    """The upper half of a chord is tied upwards (-1), the lower downwards; a single note away from its stem."""
    heights = sorted(one.y for one in chord)
    rank = 2 * heights.index(head.y) - len(heights) + 1
    if rank:
        return -1 if rank < 0 else 1
    if len(heights) == 1:
        for stroke in ink.strokes:
            if stroke.kind == "stem" and head.left - 20 <= stroke.x1 <= head.right + 20:
                top, bottom = min(stroke.y1, stroke.y2), max(stroke.y1, stroke.y2)
                if top - SPACE < head.y < bottom + SPACE:
                    return 1 if bottom - head.y < head.y - top else -1
    return -1 if head.y <= ink.staves[head.staff][2][2] else 1


def _behind(head: _Head, chord: list[_Head], dots: list[tuple[int, int, int]], y: int, way: int) -> int:
    """Where a tie begins: behind its head and whatever of the chord and its dots is at its height."""
    top, bottom = min(y, y + way * _RISE), max(y, y + way * _RISE)
    right = head.right
    for other in chord:
        if other.y - SPACE // 2 < bottom and other.y + SPACE // 2 > top:
            right = max(right, other.right)
    for x, dot_y, radius in dots:
        if 0 < x - head.right < 2 * SPACE and dot_y - radius < bottom + 20 and dot_y + radius > top - 20:
            right = max(right, x + radius)
    return round(right) + _BESIDE


def _before(head: _Head, chord: list[_Head], y: int, way: int) -> int:
    """Where a tie ends: before its head and whatever of the chord is at its height."""
    top, bottom = min(y, y + way * _RISE), max(y, y + way * _RISE)
    left = head.left
    for other in chord:
        if other.y - SPACE // 2 < bottom and other.y + SPACE // 2 > top:
            left = min(left, other.left)
    return round(left) - _BESIDE


def arc(x0: int, x3: int, y: int, way: int) -> str:
    """A tie; a short one is flatter."""
    length = x3 - x0
    rise = min(max(length // 4, _LEAST_RISE), _RISE)
    inner, outer = y + way * rise, y + way * (rise + _THICKNESS)
    a, b, c, d = (x0 + length * part // 100 for part in (27, 73, 77, 23))
    return f"M{x0},{y} C{a},{inner} {b},{inner} {x3},{y} C{c},{outer} {d},{outer} {x0},{y}"
