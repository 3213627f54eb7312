"""The rows of finger numbers: above the right hand, below the left, beyond all ink and calm enough to be followed."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from lessonkit.drawing.shapes import Face
from lessonkit.drawing.text_width import text_width
from lessonkit.drills.exercise import Hand
from lessonkit.engraving.engraver import UNITS_IN_SPACE as SPACE
from lessonkit.engraving.furniture import Furniture, Head, Letters, Place, Words
from lessonkit.engraving.ink import new
from lessonkit.engraving.skyline import Skyline

_DIGIT_HEIGHT = 0.66
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
    height, gap, half = _DIGIT_HEIGHT * size, 0.28 * SPACE, size / 4 + _BESIDE_STEM
    highest, lowest = sky.top_line - 0.55 * SPACE, sky.bottom_line + 0.55 * SPACE
    stacks: dict[Hand, list[_Stack]] = {Hand.RIGHT: [], Hand.LEFT: []}
    for event, column in columns.items():
        hand = words.hands[event]
        if len(column) == 1:
            center = column[0].x + column[0].width / 2
        else:
            # In a chord with a second the heads lie on both sides of the stem; the digits keep to the column of most.
            center = sorted(head.x + head.width / 2 for head in column)[(len(column) - 1) // 2]
            column.sort(key=_by_pitch, reverse=hand is Hand.LEFT)
        if hand is Hand.RIGHT:
            y = min(sky.top(center - half, center + half) - 0.45 * SPACE, highest)
        else:
            y = max(sky.bottom(center - half, center + half) + 0.45 * SPACE, lowest)
        stacks[hand].append(new(_Stack, (event, center, y, column)))
    for hand, row in stacks.items():
        is_right = hand is Hand.RIGHT
        groups = [words.groups[stack.event] for stack in row]
        limits = _STACKS if any(len(stack.heads) > 1 for stack in row) else _SINGLE
        heights = level_row(groups, [stack.y for stack in row], -1 if is_right else 1, limits)
        step, first = (-(height + gap), 0.0) if is_right else (height + gap, height)
        for (event, center, _, column), edge in zip(row, heights, strict=True):
            _set_stack(furniture, event, center, edge + first, step, column, words, sky)


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


def _set_stack(
    furniture: Furniture, event: int, center: float, y: float, step: float, column: list[Head], words: Words,
    sky: Skyline,
) -> None:  # fmt: skip
    """Set the digits of one event from the base line ``y`` outwards."""
    fingers, pinned, size = words.fingers[event], words.pinned.get(event), words.sizes.finger
    faces = words.sizes.faces
    height = _DIGIT_HEIGHT * size
    for head in column:
        pitch = head.pitch
        finger = fingers[pitch]
        if finger is None:
            continue
        digit, width = _digit(finger, size, faces.regular)
        left = center - width / 2
        right, top = left + width, y - height
        face, detail = faces.regular, digit
        if pinned and pitch in pinned:
            face, detail = faces.bold, f"{digit} pinned"
        furniture.letters.append(new(Letters, (left, y, digit, face, size)))
        furniture.places.append(new(Place, ("finger", f"{event}.{pitch}", left, top, right, y, detail)))
        sky.add(left, right, top, y)
        y += step


def _by_pitch(head: Head) -> int:
    return head.pitch


@lru_cache(maxsize=64)
def _digit(finger: int, size: float, face: Face) -> tuple[str, float]:
    """A finger's figure and how wide it is."""
    return str(finger), text_width(str(finger), face, size)
