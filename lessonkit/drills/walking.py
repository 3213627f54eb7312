"""Finds a walking bass: from root to root over two or three notes that lead there, as smoothly as can be.

The whole line is weighed at once by dynamic programming over the octave of each root. Weights
only compare lines; of lines that cost the same the first found stands, so that the same chords always have one line.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.neighbours import Side, semitone_beside, step_beside
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch

REGISTER = Interval.parse("M10")
"""How wide the register of the roots is; other notes may lie a third beyond it."""

BEYOND = 4
"""How many semitones the notes between may leave the roots' register."""

_BETWEEN = {0: ((),), 1: ((3,), (5,), (-7,), (8,), (2,), (-5,), (-6,))}
_BETWEEN_TWO = ((3, 5), (-7, -6), (5, 3), (2, 3), (8, -7), (8, 5), (-5, -3), (-6, -5), (5, 8), (3, 2))
"""Degrees for the beats between root and approach, the most usual first; common practice, no source."""

_LATER = 5
"""What each place further down that list costs."""

_LEAPS = (60, 0, 0, 4, 4, 10, 20, 20, 30, 40, 60, 60, 35)
"""What a step of so many semitones costs: none for a step, much for a repeated note or a leap beyond the fifth."""

_TURN = 6
"""What a change of direction costs."""

_UNLED = 10
"""What a scale step into the next root costs, unless it is a note of the chord: a semitone leads more strongly."""

_FOREIGN = 4
"""What a note before the approach costs that the chord has not."""


class Approach(Enum):
    """How the last beat leads to the next root."""

    BEST = "as it lies best"
    SEMITONE = "by a semitone"
    SCALE = "by a step of the scale"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A chord and how many beats the bass walks over it before the next one; the last chord of all has one."""

    chord: Chord
    beats: int


def walked(stretches: Sequence[Stretch], approach: Approach, key: Key, floor: Pitch) -> tuple[tuple[Pitch, ...], ...]:
    """The notes of each stretch, a beat each and at most four; the roots lie from ``floor`` up to a tenth above."""
    roots = [_octaves(stretch.chord, floor) for stretch in stretches]
    best: list[tuple[int, tuple[tuple[Pitch, ...], ...]]] = [(0, ())] * len(roots[0])
    for number, stretch in enumerate(stretches[:-1]):
        onward: list[tuple[int, tuple[tuple[Pitch, ...], ...]]] = []
        for goal in roots[number + 1]:
            ways = [
                (cost + own, (*line, notes))
                for (cost, line), root in zip(best, roots[number], strict=True)
                for own, notes in _ways(root, goal, stretch, approach, key, floor)
            ]
            onward.append(min(ways, key=lambda way: way[0]))
        best = onward
    cost_and_line, last = min(zip(best, roots[-1], strict=True), key=lambda end: end[0][0])
    return (*cost_and_line[1], (last,))


def _octaves(chord: Chord, floor: Pitch) -> list[Pitch]:
    low = chord.lowest.nearest_above(floor)
    high = low.octaves_up(1)
    return [low, high] if high.midi <= floor.midi + REGISTER.semitones else [low]


def _ways(
    root: Pitch, goal: Pitch, stretch: Stretch, approach: Approach, key: Key, floor: Pitch
) -> Iterator[tuple[int, tuple[Pitch, ...]]]:
    """Every way from a root to the next with what it costs; there is always one."""
    if stretch.beats == 1:
        yield _LEAPS[min(abs(goal.midi - root.midi), 12)], (root,)
        return
    between = _BETWEEN_TWO if stretch.beats == 4 else _BETWEEN[stretch.beats - 2]
    for place, degrees in enumerate(between):
        middle = [degree_over(root, stretch.chord, degree, key) for degree in degrees]
        foreign = _FOREIGN if middle and middle[-1].name not in stretch.chord.tones else 0
        for last, unled in _approaches(goal, stretch.chord, approach, key):
            notes = (root, *middle, last)
            outside = sum(not -BEYOND <= note.midi - floor.midi <= REGISTER.semitones + BEYOND for note in notes)
            yield _LATER * place + foreign + unled + 100 * outside + _movement((*notes, goal)), notes


def _approaches(goal: Pitch, chord: Chord, approach: Approach, key: Key) -> Iterator[tuple[Pitch, int]]:
    sides = (Side.ABOVE, Side.BELOW)
    if approach is not Approach.SCALE:
        yield from ((semitone_beside(goal, side), 0) for side in sides)
    if approach is not Approach.SEMITONE:
        steps = [step_beside(goal, side, key) for side in sides]
        yield from ((step, 0 if step.name in chord.tones else _UNLED) for step in steps)


def _movement(notes: Sequence[Pitch]) -> int:
    steps = [after.midi - before.midi for before, after in pairwise(notes)]
    turns = sum(one * other < 0 for one, other in pairwise(steps))
    return sum(_LEAPS[min(abs(step), 12)] for step in steps) + _TURN * turns
