"""Finds a walking bass: from root to root over two or three notes that lead there, as smoothly as can be.

The whole line is weighed at once by dynamic programming over the octave of each root. Weights
only compare lines; of lines that cost the same the first found stands, so that the same chords always have one line.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from functools import lru_cache
from itertools import pairwise

from lessonkit.drills.degrees_over import degree_over
from lessonkit.drills.neighbours import Side, semitone_beside, step_beside
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, Pitch
from lessonkit.values import dataclass

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


_OUTSIDE = 100
"""What a note outside the register costs."""


_NEVER = 10**6
"""More than any line costs."""


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
            ways = []
            for (cost, line), root in zip(best, roots[number], strict=True):
                own, notes = _way(root, goal, stretch, approach, key, floor)
                ways.append((cost + own, (*line, notes)))
            onward.append(min(ways, key=lambda way: way[0]))
        best = onward
    cost_and_line, last = min(zip(best, roots[-1], strict=True), key=lambda end: end[0][0])
    return (*cost_and_line[1], (last,))


def _octaves(chord: Chord, floor: Pitch) -> list[Pitch]:
    low = chord.lowest.nearest_above(floor)
    high = low.octaves_up(1)
    return [low, high] if high.midi <= floor.midi + REGISTER.semitones else [low]


def _way(
    root: Pitch, goal: Pitch, stretch: Stretch, approach: Approach, key: Key, floor: Pitch
) -> tuple[int, tuple[Pitch, ...]]:
    """The best way from a root to the next and what it costs."""
    if stretch.beats == 1:
        return _LEAPS[min(abs(goal.midi - root.midi), 12)], (root,)
    between = _BETWEEN_TWO if stretch.beats == 4 else _BETWEEN[stretch.beats - 2]
    lasts = [(last, last.midi, unled) for last, unled in _approaches(goal, stretch.chord, approach, key)]
    lowest, highest = floor.midi - BEYOND, floor.midi + REGISTER.semitones + BEYOND
    first, end, tones = root.midi, goal.midi, stretch.chord.tones
    best: tuple[int, tuple[Pitch, ...]] = (_NEVER, ())
    for place, degrees in enumerate(between):
        if _LATER * place >= best[0]:
            break
        middle = [degree_over(root, stretch.chord, degree, key) for degree in degrees]
        keys = [note.midi for note in middle]
        own = _LATER * place + (_FOREIGN if middle and middle[-1].name not in tones else 0)
        own += _OUTSIDE * sum(not lowest <= one <= highest for one in keys)
        own += _movement((first, *keys))
        tail = keys[-1] if keys else first
        before = tail - (first, *keys)[-2] if keys else 0
        for last, last_key, unled in lasts:
            outside = 0 if lowest <= last_key <= highest else _OUTSIDE
            to_last, to_end = last_key - tail, end - last_key
            turns = (to_last * before < 0) + (to_end * to_last < 0)
            leaps = _LEAPS[min(abs(to_last), 12)] + _LEAPS[min(abs(to_end), 12)]
            cost = own + unled + outside + leaps + _TURN * turns
            if cost < best[0]:
                best = (cost, (root, *middle, last))
    return best


@lru_cache(maxsize=4096)
def _approaches(goal: Pitch, chord: Chord, approach: Approach, key: Key) -> tuple[tuple[Pitch, int], ...]:
    sides = (Side.ABOVE, Side.BELOW)
    found: dict[Pitch, int] = {}
    if approach is not Approach.SCALE:
        found.update((semitone_beside(goal, side), 0) for side in sides)
    if approach is not Approach.SEMITONE:
        steps = [step_beside(goal, side, key) for side in sides]
        for step in steps:
            found.setdefault(step, 0 if step.name in chord.tones else _UNLED)
    return tuple(found.items())


def _movement(keys: Sequence[int]) -> int:
    """What a line costs by its leaps and turns."""
    cost = before = 0
    for one, other in pairwise(keys):
        step = other - one
        cost += _LEAPS[min(abs(step), 12)]
        if step * before < 0:
            cost += _TURN
        before = step
    return cost
