"""Bars too long for a line, parted at a beat: the line breaks there without a bar line.

In large print a bar of short notes is wider than the paper. Pressed together its signs would stand on one another;
parted at the beat it can be read, and each part keeps its spacing.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from lessonkit.drills.exercise import BarEnd, Exercise, Meter


def parted(exercise: Exercise, bars: frozenset[int], places: tuple[int, ...]) -> tuple[Exercise, tuple[int, ...]]:
    """The exercise with each of some bars in two, and for each bar now the number of the one that it is, or part of.

    ``places`` are these numbers so far. A bar that no beat divides stays whole.
    """
    meter = exercise.meter
    if meter is None:
        return exercise, places
    found, numbers = [], []
    for number, bar in enumerate(exercise.bars):
        joint = _joint(exercise, bar.onset, bar.length, meter) if number in bars else None
        if joint is None:
            found.append(bar)
            numbers.append(places[number])
            continue
        before = replace(bar, length=joint - bar.onset, end=BarEnd.INVISIBLE, times=1)
        after = replace(
            bar, onset=joint, length=bar.onset + bar.length - joint, key=None, label="", answer="", starts_line=True,
            begins_repeat=False,
        )  # fmt: skip
        found += [before, after]
        numbers += [places[number], places[number]]
    return replace(exercise, bars=tuple(found)), tuple(numbers)


def _joint(exercise: Exercise, onset: Fraction, length: Fraction, meter: Meter) -> Fraction | None:
    """The beat nearest to a bar's middle, rather one that no note is held over; None where there is none."""
    is_compound = meter.beats % 3 == 0 and meter.beats > 3 and meter.unit >= 8
    beat = Fraction(3 if is_compound else 1, meter.unit)
    middle = onset + length / 2
    beats = [onset + beat * count for count in range(1, int(length / beat) + 1) if beat * count < length]
    if not beats:
        return None
    return min(beats, key=lambda moment: abs(moment - middle) + (beat if _is_held_over(exercise, moment) else 0))


def _is_held_over(exercise: Exercise, moment: Fraction) -> bool:
    return any(event.onset < moment < event.end and event.pitches for event in exercise.events)


def first_parts(places: tuple[int, ...]) -> frozenset[int]:
    """The bars that are whole, or the first part of one."""
    return frozenset({0, *(at + 1 for at, (one, other) in enumerate(pairwise(places)) if one != other)})
