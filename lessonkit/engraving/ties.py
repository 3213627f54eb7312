"""Ties of chords with a second in them, begun at their own heads. Units are the engraver's.

The engraver begins them behind a displaced head also where that stands at the other side of the stem, so that a tie
shrinks to a speck.
"""

from __future__ import annotations

import re

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Ink, Sign

_BESIDE = SPACE // 4
"""What the engraver keeps between a head and its tie, across and down."""

_RISE = 107
_THICKNESS = 46

_NUMBER = re.compile(r"-?\d+")


def begun_at_heads(ink: Ink) -> list[tuple[str, int, str]]:
    """The curves of a system with its ties begun where they should."""
    columns: dict[str, list[Sign]] = {}
    for sign in ink.signs:
        if sign.kind == "notehead" and sign.name[:1] == "e":
            # A chord and each of its continuations: ``e3.0`` and ``e3.1``, ``e3.0t1`` and ``e3.1t1``.
            event, _, pitch = sign.name.partition(".")
            columns.setdefault(event + pitch.partition("t")[2], []).append(sign)
    # By their height those of chords with a second.
    heads: dict[int, list[Sign]] = {}
    for column in columns.values():
        heights = {head.y for head in column}
        if any(y + SPACE // 2 in heights for y in heights):
            for head in column:
                heads.setdefault(head.y, []).append(head)
    if not heads:
        return ink.curves
    dots = [(x, y) for x, y, _ in ink.dots]
    return [
        (_begun_at_head(text, heads, dots) if kind == "tie" else text, width, kind) for text, width, kind in ink.curves
    ]


def _begun_at_head(curve: str, heads: dict[int, list[Sign]], dots: list[tuple[int, int]]) -> str:
    numbers = list(map(int, _NUMBER.findall(curve)))
    (x0, y0), x3 = numbers[0:2], numbers[6]
    is_up = numbers[3] < y0
    height = y0 + _BESIDE if is_up else y0 - _BESIDE
    own = [head for head in heads.get(height, ()) if 0 < x0 - _right(head) < 2 * SPACE]
    if not own:
        return curve
    head = max(own, key=lambda one: one.x)
    start = _right(head) + _BESIDE
    beyond = height + (-SPACE // 2 if is_up else SPACE // 2)
    for other in heads.get(beyond, ()):
        # The other head of a second, where the tie bends towards it.
        if abs(other.x - head.x) < 1.5 * SPACE:
            start = max(start, _right(other) + _BESIDE)
    if start >= x0 or x3 <= x0 or any(start - SPACE < x <= x0 and abs(y - y0) < SPACE for x, y in dots):
        return curve
    return _arc(start, x3, y0, -1 if is_up else 1)


def _arc(x0: int, x3: int, y: int, way: int) -> str:
    """A tie as the engraver draws one that has room."""
    length = x3 - x0
    inner, outer = y + way * _RISE, y + way * (_RISE + _THICKNESS)
    a, b, c, d = (x0 + length * part // 100 for part in (27, 73, 77, 23))
    return f"M{x0},{y} C{a},{inner} {b},{inner} {x3},{y} C{c},{outer} {d},{outer} {x0},{y}"


def _right(head: Sign) -> int:
    return round(head.x + glyph_box(head.code).right * head.scale)
