"""Written note values: which lengths one note head can say, and how longer or crooked ones are split and tied.

Lengths are whole numbers of ticks; ``Clock`` says how many ticks a whole note has in one exercise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

SMALLEST_DENOMINATOR = 64
"""The shortest value that is written, as a part of a whole note."""

NORMAL_OF_TUPLET = {3: 2, 5: 4, 6: 4, 7: 4}
"""How many plain values a tuplet of so many takes the place of."""


class Clock:
    """Fractions of a whole note as whole ticks, exact for every time of one exercise."""

    def __init__(self, times: Iterable[Fraction]) -> None:
        self.whole = math.lcm(2 * SMALLEST_DENOMINATOR * 3, *{time.denominator for time in times})
        """Ticks of a whole note."""

    def ticks(self, time: Fraction) -> int:
        """A time or length in ticks."""
        return time.numerator * (self.whole // time.denominator)


@lru_cache(maxsize=64)
def written_values(whole: int) -> dict[int, tuple[str, int]]:
    """For a clock's whole note: the note value and its dots of each length that a single head can say."""
    values = {}
    for denominator in (64, 32, 16, 8, 4, 2, 1):
        length = whole // denominator
        for dots in (2, 1, 0):
            longer = length * (2 ** (dots + 1) - 1)
            if longer % 2**dots == 0 and denominator * 2**dots <= SMALLEST_DENOMINATOR:
                values[longer // 2**dots] = (str(denominator), dots)
    # A breve fills the bar of 4/2 and longer bars of free time.
    values[2 * whole] = ("breve", 0)
    return values


@lru_cache(maxsize=4096)
def split_by_dotted_beats(offset: int, length: int, whole: int, beat: int, is_rest: bool) -> tuple[int, ...]:
    """The same for a bar of dotted beats, each ``beat`` ticks long, as in 6/8: every beat that begins can be seen.

    What lies across the beginning of a beat is tied there, unless it fills whole beats; within a beat the eighths are
    the joints.
    """
    values = written_values(whole)
    within = offset % beat
    if not within:
        for count in (4, 2, 1):
            if length >= count * beat and (offset // beat) % count == 0 and count * beat in values:
                rest = length - count * beat
                return (count * beat, *(_after(offset, count * beat, rest, whole, beat, is_rest) if rest else ()))
    here = min(beat - within, length)
    if length > here:
        first = split_by_dotted_beats(offset, here, whole, beat, is_rest)
        return (*first, *_after(offset, here, length - here, whole, beat, is_rest))
    if length in values:
        dots = values[length][1]
        if is_rest:
            sits = not dots and within % length == 0
        else:
            sits = dots < 2 and within % max(length // (3 if dots else 2), 1) == 0
        if sits:
            return (length,)
    unit = beat // 3
    while unit >= whole // SMALLEST_DENOMINATOR:
        joint = (offset // unit + 1) * unit - offset
        if joint < length:
            first = split_by_dotted_beats(offset, joint, whole, beat, is_rest)
            return (*first, *_after(offset, joint, length - joint, whole, beat, is_rest))
        unit //= 2
    return split(offset, length, whole, False, is_rest)


def _after(offset: int, done: int, length: int, whole: int, beat: int, is_rest: bool) -> tuple[int, ...]:
    return split_by_dotted_beats(offset + done, length, whole, beat, is_rest)


@lru_cache(maxsize=4096)
def split(offset: int, length: int, whole: int, is_metric: bool, is_rest: bool, middle: int = 0) -> tuple[int, ...]:
    """The lengths of the values, in order, that write a length beginning ``offset`` ticks into its bar.

    In a metre a value may lie across the middle of its own length only where the eye expects it: a plain value on a
    multiple of its half, a dotted one on a multiple of its dot. Rests are stricter: each begins on a multiple of
    itself. Lengths below the shortest value are kept as they are and left to the caller.

    ``middle`` is where a bar of four beats has its middle, in ticks, 0 where it has none: what lies across it from
    off the beat, or to off the beat, is parted there, so that the third beat can be seen.
    """
    values = written_values(whole)
    hides_middle = 0 < middle - offset < length and bool(offset % (middle // 2) or length % (middle // 2))
    sits = length in values and _sits(offset, length, values[length][1], is_metric, is_rest)
    if sits and not hides_middle:
        return (length,)
    if is_metric:
        joint = _strongest_joint(offset, length, whole)
        if joint:
            before = split(offset, joint - offset, whole, is_metric, is_rest, middle)
            return (*before, *split(joint, offset + length - joint, whole, is_metric, is_rest, middle))
    for candidate in sorted(values, reverse=True):
        if candidate < length and values[candidate][1] < 2 and not (is_rest and values[candidate][1]):
            return (candidate, *split(offset + candidate, length - candidate, whole, is_metric, is_rest))
    return (length,)


def _strongest_joint(offset: int, length: int, whole: int) -> int:
    """The place inside a span where the metre divides most strongly (half bars, beats, half beats), or 0."""
    unit = whole
    while unit >= whole // SMALLEST_DENOMINATOR:
        joint = (offset // unit + 1) * unit
        if joint < offset + length:
            return joint
        unit //= 2
    return 0


def _sits(offset: int, length: int, dots: int, is_metric: bool, is_rest: bool) -> bool:
    if dots == 2:
        return not is_rest and offset % (length // 7 * 4 if is_metric else 1) == 0
    if not is_metric:
        return not (is_rest and dots)
    if dots:
        return offset % (length // 3) == 0 if not is_rest else False
    return offset % (length if is_rest else max(length // 2, 1)) == 0
