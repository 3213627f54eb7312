"""When things sound: printed time, with repeats and rounds played out, as seconds. Swing and breathing live here.

Printed time is counted in whole notes from the start of the exercise, played time in whole notes from the first beat
after the count-in.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from random import Random

from lessonkit.drills.exercise import BarEnd, Exercise
from lessonkit.drills.times import QUARTER, counted_beat
from lessonkit.sound.playing import STRAIGHT, Playing
from lessonkit.values import dataclass

_FREE_COUNT_IN = 4
"""How many beats a count-in has where there are no bars to count."""

_LEAST_BREATH, _MOST_BREATH = 0.05, 0.30
"""How much longer the last beat of a group in free time lasts, as a share of it. Our own, set by ear."""

_LEAST_PACE, _MOST_PACE = 0.95, 1.05
"""How much a group in free time may be quicker or slower than another."""


@dataclass(frozen=True, slots=True)
class Pass:
    """A stretch of printed time that is played in one go: bars ``first`` up to ``last`` (not included).

    ``played`` is when it begins in played time; ``round`` and ``time`` count from 0: which round of the whole, and
    which time through the repeat.
    """

    first: int
    last: int
    start: Fraction
    end: Fraction
    played: Fraction
    round: int
    time: int


def passes(exercise: Exercise, plays_repeats: bool, rounds: int) -> tuple[Pass, ...]:
    """The exercise from its first bar to its last, with its repeats, as often as there are rounds."""
    found: list[Pass] = []
    now = Fraction(0)
    for number in range(rounds):
        for first, last, times in _stretches(exercise):
            start = exercise.bars[first].onset
            end = exercise.bars[last - 1].onset + exercise.bars[last - 1].length
            for time in range(times if plays_repeats else 1):
                found.append(Pass(first, last, start, end, now, number, time))
                now += end - start
    return tuple(found)


def _stretches(exercise: Exercise) -> list[tuple[int, int, int]]:
    """Bars that are played in one go, and how often; without a sign a repeat goes back to the last one or the start."""
    found: list[tuple[int, int, int]] = []
    first = 0
    for number, bar in enumerate(exercise.bars):
        if bar.begins_repeat and number > first:
            found.append((first, number, 1))
            first = number
        if bar.end is BarEnd.REPEAT:
            found.append((first, number + 1, max(bar.times, 2)))
            first = number + 1
    if first < len(exercise.bars):
        found.append((first, len(exercise.bars), 1))
    return found


class Clock:
    """Played time as seconds for one exercise in one way of playing."""

    def __init__(self, exercise: Exercise, playing: Playing) -> None:
        self._beat = counted_beat(exercise.meter)
        self.passes = passes(exercise, playing.plays_repeats, playing.rounds)
        self._whole = 60.0 / playing.tempo / float(self._beat)
        self._swing = playing.swing / 100
        # Only two notes to a plain beat swing; a dotted beat has three.
        self._swings = playing.swing > STRAIGHT and self._beat == QUARTER
        first = exercise.bars[0]
        self.count_in_beat = self._beat
        bar = exercise.meter.bar if exercise.meter is not None else self._beat * _FREE_COUNT_IN
        self.count_in = tuple(index * self._beat for index in range(int(bar / self._beat) * playing.count_in))
        self.begins = float(bar * playing.count_in) * self._whole
        self.length = (
            self.passes[-1].played + self.passes[-1].end - self.passes[-1].start if self.passes else first.onset
        )
        self._knots: tuple[Fraction, ...] = ()
        self._times: tuple[float, ...] = ()
        if exercise.meter is None and playing.breathing is not None:
            self._breathe(exercise, playing.breathing)

    @property
    def quarters_a_minute(self) -> float:
        """The tempo in quarters, as files of music count it."""
        return 240.0 / self._whole

    def seconds(self, played: Fraction, is_tuplet: bool = False) -> float:
        """When a moment of played time sounds, counted from the start of the count-in."""
        if self._knots:
            return self.begins + self._breathed(played)
        if self._swings and not is_tuplet and played.denominator % 3:
            return self.begins + self._swung(played) * self._whole
        return self.begins + float(played) * self._whole

    def count_in_seconds(self) -> tuple[float, ...]:
        """When the clicks of the count-in sound."""
        return tuple(float(moment) * self._whole for moment in self.count_in)

    def _swung(self, played: Fraction) -> float:
        beats = played / self._beat
        whole, within = int(beats), float(beats - int(beats))
        if within <= 0.5:
            return (whole + 2 * within * self._swing) * float(self._beat)
        return (whole + self._swing + (2 * within - 1) * (1 - self._swing)) * float(self._beat)

    def _breathe(self, exercise: Exercise, seed: int) -> None:
        """Each bar, which is a group in free time, has a pace of its own and a breath in its last beat."""
        chance = Random(seed)
        knots, times = [Fraction(0)], [0.0]
        for one in self.passes:
            for bar in exercise.bars[one.first : one.last]:
                pace = chance.uniform(_LEAST_PACE, _MOST_PACE) * self._whole
                breath = 1 + chance.uniform(_LEAST_BREATH, _MOST_BREATH)
                start = one.played + bar.onset - one.start
                last = min(bar.length, self._beat)
                for length, slower in ((bar.length - last, 1.0), (last, breath)):
                    if length:
                        start += length
                        knots.append(start)
                        times.append(times[-1] + float(length) * pace * slower)
        self._knots, self._times = tuple(knots), tuple(times)

    def _breathed(self, played: Fraction) -> float:
        at = min(max(bisect_right(self._knots, played) - 1, 0), len(self._knots) - 2)
        start, end = self._knots[at], self._knots[at + 1]
        share = float((played - start) / (end - start))
        return self._times[at] + share * (self._times[at + 1] - self._times[at])


def beats_played(exercise: Exercise, clock: Clock) -> list[tuple[Fraction, bool]]:
    """The beats of all bars as they are played, and whether each begins a bar; beats count from the start of a bar."""
    beat = clock.count_in_beat
    found = []
    for one in clock.passes:
        for bar in exercise.bars[one.first : one.last]:
            start = one.played + bar.onset - one.start
            count = -(-bar.length // beat)
            found += [(start + index * beat, index == 0) for index in range(int(count))]
    return found
