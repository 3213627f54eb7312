"""Accidentals set before their heads: side by side where they would meet, with air all round. Units are the engraver's.

Those of a chord are set in the order that engravers keep, the outer ones next to the heads and the inner ones farther
out: the highest, the lowest, the second highest and so on. A courtesy and its brackets are one.
"""

from __future__ import annotations

from typing import NamedTuple

from lessonkit.drawing.glyphs import glyph_box
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.ink import Sign

_FROM_HEAD = SPACE // 4
_FROM_LEDGER = SPACE // 4
_FROM_SIGN = SPACE // 5
_AIR = SPACE // 8
"""How near two signs may come in height before they stand side by side."""

_IN_BRACKET = SPACE // 4
"""Between a sign and the bracket around it."""

_IN_ORDER = {0xE26A: 0, 0xE26B: 2}
"""Where a bracket stands beside the sign within."""


class Solid(NamedTuple):
    """What the signs keep clear of."""

    left: float
    top: float
    bottom: float
    is_ledger: bool


def set_accidentals(signs: list[Sign], places: dict[str, list[int]], solids: list[Solid], edge: float) -> None:
    """Set the accidentals of one column of one staff; ``places`` are those of each note's own among the signs.

    ``edge`` is the left of the heads that no sign passes.
    """
    order = sorted(places.values(), key=lambda own: signs[own[0]].y)
    taken: list[tuple[float, float, float]] = []
    for own in _from_outside(order):
        parts = sorted(((signs[at], at) for at in own), key=lambda part: _IN_ORDER.get(part[0].code, 1))
        offsets, width, top, bottom = _laid_out([sign for sign, _ in parts])
        right = edge - _FROM_HEAD
        for solid in solids:
            if solid.top < bottom and solid.bottom > top:
                right = min(right, solid.left - (_FROM_LEDGER if solid.is_ledger else _FROM_HEAD))
        for left, upper, lower in taken:
            if upper - _AIR < bottom and lower + _AIR > top:
                right = min(right, left - _FROM_SIGN)
        start = right - width
        taken.append((start, top, bottom))
        for (sign, at), offset in zip(parts, offsets, strict=True):
            signs[at] = sign._replace(x=round(start + offset))


def _from_outside(order: list[list[int]]) -> list[list[int]]:
    """Highest, lowest, second highest, second lowest and so on."""
    found, first, last = [], 0, len(order) - 1
    while first <= last:
        found.append(order[first])
        if first != last:
            found.append(order[last])
        first, last = first + 1, last - 1
    return found


def _laid_out(parts: list[Sign]) -> tuple[list[float], float, float, float]:
    """Where the origins of a sign and its brackets stand from their left edge; their width, top and bottom."""
    offsets: list[float] = []
    at, tops, bottoms = 0.0, [], []
    for sign in parts:
        box, k = glyph_box(sign.code), sign.scale
        if offsets:
            at += _IN_BRACKET
        offsets.append(at - box.left * k)
        at += (box.right - box.left) * k
        tops.append(sign.y + box.top * k)
        bottoms.append(sign.y + box.bottom * k)
    return offsets, at, min(tops), max(bottoms)
