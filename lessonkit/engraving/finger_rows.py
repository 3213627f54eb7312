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

_MOST_LEAP = 1.25 * SPACE
"""How far the row of digits may step from one note to the next; a row that leaps is hard to follow."""

_NEIGHBOURS = 7 * SPACE


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
        heights = _calm([stack.center for stack in row], [stack.y for stack in row], -1 if is_right else 1)
        step, first = (-(height + gap), 0.0) if is_right else (height + gap, height)
        for (event, center, _, column), edge in zip(row, heights, strict=True):
            _set_stack(furniture, event, center, edge + first, step, column, words, sky)


class _Stack(NamedTuple):
    """The heads of one event, and where its first digit is to stand."""

    event: int
    center: float
    y: float
    heads: list[Head]


def _calm(centers: list[float], heights: list[float], outwards: int) -> list[float]:
    """Heights of neighbouring digits brought near to one another: those close to the staff are moved outwards."""
    if len(heights) < 2:
        return heights
    order = range(1, len(heights))
    for places in (order, reversed(order)):
        for at in places:
            one, other = (at - 1, at) if places is order else (at, at - 1)
            if abs(centers[at] - centers[at - 1]) < _NEIGHBOURS:
                least = heights[one] - outwards * _MOST_LEAP
                heights[other] = (max if outwards > 0 else min)(heights[other], least)
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
