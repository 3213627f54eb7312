"""How loud each note is, as a MIDI velocity: printed marks, swells between them, terraces. The levels are our own."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

from lessonkit.drills.exercise import Event, Exercise, Sign
from lessonkit.sound.playing import Dynamics
from lessonkit.sound.timeline import Pass

LEVELS = {"pp": 36, "p": 48, "mp": 60, "mf": 72, "f": 88, "ff": 104}
"""The velocity of each mark."""

USUAL = LEVELS["mf"]
_SOFT, _LOUD = LEVELS["p"], LEVELS["f"]
_SWELL = 20
"""How much louder or softer a swell ends than it began."""

_ACCENT = 16
_SOFTEST, _LOUDEST = 12, 120
_TERRACE_BARS = 2
"""How many bars a terrace has where the exercise stays in one key and is played once."""


class Loudness:
    """The velocity of each event of an exercise."""

    def __init__(self, exercise: Exercise, dynamics: Dynamics, plays_touch: bool) -> None:
        self._exercise = exercise
        self._dynamics = dynamics
        self._plays_touch = plays_touch
        self._begins = [bar.onset for bar in exercise.bars if bar.key is not None]
        self._bars = [bar.onset for bar in exercise.bars]
        self._moments, self._levels = _levels(exercise) if dynamics is Dynamics.PRINTED else ([], [])

    def of(self, event: Event, one: Pass) -> int:
        """The velocity of an event in one pass through it."""
        level = {Dynamics.PRINTED: self._printed, Dynamics.TERRACES: self._terrace}.get(self._dynamics, _even)(
            event.onset, one
        )
        if self._plays_touch and event.sign is Sign.ACCENT:
            level += _ACCENT
        return round(min(max(level, _SOFTEST), _LOUDEST))

    def _printed(self, onset: Fraction, one: Pass) -> float:
        at = bisect_right(self._moments, onset) - 1
        if at < 0:
            return USUAL
        if at + 1 == len(self._moments) or self._moments[at + 1] == self._moments[at]:
            return self._levels[at]
        share = float((onset - self._moments[at]) / (self._moments[at + 1] - self._moments[at]))
        return self._levels[at] + share * (self._levels[at + 1] - self._levels[at])

    def _terrace(self, onset: Fraction, one: Pass) -> float:
        """Soft first and loud in answer: by times through, else by keys, else by two bars."""
        is_repeated = self._exercise.bars[one.last - 1].times > 1
        if is_repeated:
            number = one.time
        elif len(self._begins) > 1:
            number = bisect_right(self._begins, onset) - 1
        else:
            number = (bisect_right(self._bars, onset) - 1) // _TERRACE_BARS
        return _LOUD if number % 2 else _SOFT


def _even(onset: Fraction, one: Pass) -> float:
    return USUAL


def _levels(exercise: Exercise) -> tuple[list[Fraction], list[float]]:
    """Moments and the level at each; between two moments the level goes straight from one to the other.

    A mark sets the level; a swell changes it and is the way to the next mark. Where a key begins, the level of the
    last mark returns, so that each key is played as the first one is.
    """
    marks = {mark.onset: float(LEVELS.get(mark.mark, USUAL)) for mark in exercise.dynamics}
    keys = {bar.onset for bar in exercise.bars if bar.key is not None}
    swells = sorted(exercise.swells, key=lambda swell: swell.onset)
    if not marks and not swells:
        return [], []
    moments, levels = [Fraction(0)], [marks.get(Fraction(0), float(USUAL))]
    marked = levels[0]
    steps: list[tuple[Fraction, int, float]] = [(onset, 0, level) for onset, level in marks.items() if onset]
    steps += [(onset, 1, 0.0) for onset in keys if onset and onset not in marks]
    for swell in swells:
        steps.append((swell.onset, 2, 0.0))
        steps.append((swell.end, 3, float(_SWELL if swell.grows else -_SWELL)))
    for onset, kind, number in sorted(steps):
        level = levels[-1]
        if kind == 0:
            marked = number
        target = {0: marked, 1: marked, 2: level, 3: level + number}[kind]
        if kind in (0, 1):
            # The level holds up to the mark and changes there at once.
            moments.append(onset)
            levels.append(level)
        moments.append(onset)
        levels.append(target)
    return moments, levels
