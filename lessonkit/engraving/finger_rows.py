"""The rows of finger numbers: above the right hand, below the left, beyond all ink and calm enough to be followed."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width
from lessonkit.drills.exercise import Hand
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.furniture import DIGIT_HEIGHT, Furniture, Head, Letters, Place, Words
from lessonkit.engraving.ink import new
from lessonkit.engraving.skyline import Skyline

_BESIDE_STEM = 0.25 * SPACE
"""How far beside a digit ink counts as being under it: a digit goes beyond a stem, never next to it."""


class Limits(NamedTuple):
    """How even a row is: how far the places of digits may differ that stand at one height, and the steps of others."""

    level: float
    step: float


_SINGLE = Limits(SPACE, SPACE)
_STACKS = Limits(1.6 * SPACE, float("inf"))
"""A stack is found by its column, and a row of stacks by its base; between a bass and a chord the hand leaps anyway."""


def place_fingers(furniture: Furniture, heads: list[Head], words: Words, sky: Skyline) -> None:
    """Place the fingers of one system; the skyline grows with them."""
    columns: dict[int, list[Head]] = {}
    for head in heads:
        if not head.is_continued and head.event in words.fingers:
            columns.setdefault(head.event, []).append(head)
    size = words.sizes.finger
    height, gap, half = DIGIT_HEIGHT * size, 0.28 * SPACE, size / 4 + _BESIDE_STEM
    highest, lowest = sky.top_line - 0.55 * SPACE, sky.bottom_line + 0.55 * SPACE
    above: list[_Stack] = []
    below: list[_Stack] = []
    right, hands, air = Hand.RIGHT, words.hands, 0.45 * SPACE
    for event, column in columns.items():
        is_right = hands[event] is right
        if len(column) == 1:
            center = column[0].x + column[0].width / 2
        else:
            # In a chord with a second the heads lie on both sides of the stem; the digits keep to the column of most.
            center = sorted(head.x + head.width / 2 for head in column)[(len(column) - 1) // 2]
            column.sort(key=_by_pitch, reverse=not is_right)
        if is_right:
            y = sky.top(center - half, center + half) - air
            above.append(new(_Stack, (event, center, y if y < highest else highest, column)))
        else:
            y = sky.bottom(center - half, center + half) + air
            below.append(new(_Stack, (event, center, y if y > lowest else lowest, column)))
    for row, is_right in ((above, True), (below, False)):
        groups = [words.groups[stack.event] for stack in row]
        limits = _STACKS if any(len(stack.heads) > 1 for stack in row) else _SINGLE
        heights = level_row(groups, [stack.y for stack in row], -1 if is_right else 1, limits)
        step, first = (-(height + gap), 0.0) if is_right else (height + gap, height)
        _set_stacks(furniture, row, [edge + first for edge in heights], step, words, sky)


class _Stack(NamedTuple):
    """The heads of one event, and where its first digit is to stand."""

    event: int
    center: float
    y: float
    heads: list[Head]


def level_row(groups: list[int], heights: list[float], outwards: int, limits: Limits = _SINGLE) -> list[float]:
    """The heights of the digits of a row made level as far as the notes allow; they are only moved outwards.

    Neighbouring groups share one height while that moves no digit far. A group that goes far beyond the staff climbs
    in even steps; the group beside it has nothing to do with that. ``outwards`` is 1 where that is downwards, else -1.
    """
    outermost, innermost = (max, min) if outwards > 0 else (min, max)
    level: list[float] = []
    begun, count = 0, len(groups)
    out = inner = 0.0
    while begun < count:
        end = begun + 1
        while end < count and groups[end] == groups[begun]:
            end += 1
        own = heights[begun:end]
        own_out, own_inner = outermost(own), innermost(own)
        if len(level) < begun:
            both_out, both_inner = outermost(out, own_out), innermost(inner, own_inner)
            if abs(both_out - both_inner) <= limits.level:
                out, inner, begun = both_out, both_inner, end
                continue
            level += [out] * (begun - len(level))
        if abs(own_out - own_inner) <= limits.level:
            out, inner = own_out, own_inner
        else:
            level += _climbing(own, outwards, limits.step)
        begun = end
    return level + [out] * (count - len(level))


def _climbing(heights: list[float], outwards: int, step: float) -> list[float]:
    """The heights of a group's digits with no step between neighbours that is too great."""
    outermost = max if outwards > 0 else min
    steps = range(1, len(heights))
    for at in steps:
        heights[at] = outermost(heights[at], heights[at - 1] - outwards * step)
    for at in reversed(steps):
        heights[at - 1] = outermost(heights[at - 1], heights[at] - outwards * step)
    return heights


def _set_stacks(
    furniture: Furniture, row: list[_Stack], edges: list[float], step: float, words: Words, sky: Skyline
) -> None:
    """Set the digits of a row, those of each event from its base line outwards."""
    size, regular, bold = words.sizes.finger, words.sizes.faces.regular, words.sizes.faces.bold
    height = DIGIT_HEIGHT * size
    digits: dict[int, tuple[str, float]] = {}
    add_letters, add_place, add_ink = furniture.letters.append, furniture.places.append, sky.add
    for (event, center, _, column), y in zip(row, edges, strict=True):
        fingers, pinned = words.fingers[event], words.pinned.get(event)
        for head in column:
            pitch = head.pitch
            finger = fingers[pitch]
            if finger is None:
                continue
            if finger not in digits:
                digits[finger] = _digit(finger, size, regular)
            digit, width = digits[finger]
            left = center - width / 2
            right, top = left + width, y - height
            face, detail = regular, digit
            if pinned and pitch in pinned:
                face, detail = bold, f"{digit} pinned"
            add_letters(new(Letters, (left, y, digit, face, size)))
            add_place(new(Place, ("finger", f"{event}.{pitch}", left, top, right, y, detail)))
            add_ink(left, right, top, y)
            y += step


def _by_pitch(head: Head) -> int:
    return head.pitch


@lru_cache(maxsize=64)
def _digit(finger: int, size: float, face: Face) -> tuple[str, float]:
    """A finger's figure and how wide it is."""
    return str(finger), text_width(str(finger), face, size)
