"""Moments and spans of a drill added up. Times are fractions of a whole note; the adding is done in whole numbers.

A drill adds up hundreds of lengths of very few kinds; as fractions that would cost more than all its notes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import accumulate
from math import lcm

from lessonkit.drills.exercise import Meter


def total(lengths: Iterable[Fraction]) -> Fraction:
    """How long all the lengths last together; nothing for none.

    >>> total([Fraction(1, 8), Fraction(3, 8)])
    Fraction(1, 2)
    """
    lengths = tuple(lengths)
    unit = lcm(*(length.denominator for length in lengths))
    return _parts(sum(length.numerator * (unit // length.denominator) for length in lengths), unit)


def moments(lengths: Sequence[Fraction], start: Fraction = Fraction(0)) -> list[Fraction]:
    """When each length begins and, last, when the last one ends: one moment more than there are lengths.

    >>> moments([Fraction(1, 8), Fraction(3, 8)], Fraction(1))
    [Fraction(1, 1), Fraction(9, 8), Fraction(3, 2)]
    """
    unit = lcm(start.denominator, *(length.denominator for length in lengths))
    spans = [start.numerator * (unit // start.denominator)]
    spans += [length.numerator * (unit // length.denominator) for length in lengths]
    return [_parts(parts, unit) for parts in accumulate(spans)]


QUARTER = Fraction(1, 4)
DOTTED_QUARTER = Fraction(3, 8)


def counted_beat(meter: Meter | None) -> Fraction:
    """What is counted: a quarter in free time, the dotted quarter of 6/8 and 12/8, else the metre's lower number.

    >>> counted_beat(Meter(6, 8))
    Fraction(3, 8)
    """
    if meter is None:
        return QUARTER
    return DOTTED_QUARTER if meter.unit == 8 and meter.beats % 3 == 0 else Fraction(1, meter.unit)


@lru_cache(maxsize=8192)
def _parts(parts: int, unit: int) -> Fraction:
    return Fraction(parts, unit)
