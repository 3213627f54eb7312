"""What a teacher played on a keyboard, written down as a phrase: on the nearest sixteenth, or in triplets of eighths.

The first note stands on the first beat; the tempo is the one that was given.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from lessonkit.drills.exercise import Meter
from lessonkit.drills.phrase import MOST_BARS, Phrase, Sound
from lessonkit.drills.times import counted_beat
from lessonkit.sound.played_in import Struck
from lessonkit.sound.spelling import spelled
from lessonkit.theory.key import Key

SIXTEENTH, THIRD = Fraction(1, 16), Fraction(1, 12)

HELD = 0.6
"""The share of the way to the next note for which a note must be held to be written up to it."""

_TRIPLETS_FIT = 0.6
"""How much better a beat must lie in triplets than in sixteenths, since they are rarer."""

NOTHING = "no note was played, so there is nothing to write down"


def noted_down(played: Sequence[Struck], key: Key, meter: Meter, tempo: float) -> Phrase:
    """The phrase; ``tempo`` counts the metre's beats. Raises ValueError with a sentence where it cannot be written."""
    if not played:
        raise ValueError(NOTHING)
    beat = counted_beat(meter)
    whole = 60 / tempo / float(beat)
    first = played[0].start
    moments = [((one.start - first) / whole, (one.end - first) / whole, one.midi) for one in played]
    last = max(start for start, _, _ in moments)
    if last > float(MOST_BARS * meter.bar):
        raise ValueError(f"more than {MOST_BARS} bars were played; play a shorter lick")
    grids = _Grids([start for start, _, _ in moments], beat)
    chords: dict[Fraction, tuple[set[int], float]] = {}
    for start, end, midi in moments:
        place = grids.nearest(start)
        keys, until = chords.get(place, (set(), 0.0))
        chords[place] = (keys | {midi}, max(until, end))
    sounds = list(_sounds(chords, grids, key, meter))
    count = -(-sum((sound.length for sound in sounds), Fraction(0)) // meter.bar)
    phrase = Phrase(key, tuple(sounds), (meter.bar,) * int(count))
    # What is typed by nobody must still be what somebody can type.
    return Phrase.parse(phrase.ascii)


class _Grids:
    """For each beat whether it lies in sixteenths or in triplets."""

    def __init__(self, starts: Sequence[float], beat: Fraction) -> None:
        self._beat = beat
        self._threes: set[int] = set()
        if beat != Fraction(1, 4):
            return
        within: dict[int, list[float]] = {}
        for start in starts:
            # A note just before a beat belongs to it.
            number = int((start + float(THIRD) / 2) / float(beat))
            within.setdefault(number, []).append(start - number * float(beat))
        for number, places in within.items():
            plain, three = (sum(_off(place, step) for place in places) for step in (SIXTEENTH, THIRD))
            if three < plain * _TRIPLETS_FIT and any(round(place / float(THIRD)) % 3 for place in places):
                self._threes.add(number)

    def is_three(self, moment: Fraction) -> bool:
        """Whether the beat of a moment lies in triplets."""
        return int(moment / self._beat) in self._threes

    def step(self, moment: Fraction) -> Fraction:
        """The shortest length at a moment."""
        return THIRD if self.is_three(moment) else SIXTEENTH

    def nearest(self, start: float) -> Fraction:
        """The place at which something is written."""
        number = int((start + float(THIRD) / 2) / float(self._beat))
        step = THIRD if number in self._threes else SIXTEENTH
        return max(round(start / float(step)) * step, number * self._beat, Fraction(0))

    def seam_after(self, moment: Fraction) -> Fraction | None:
        """The next beat at which triplets begin or end: nothing can be held over it; None where there is none."""
        number = int(moment / self._beat)
        if number in self._threes:
            return (number + 1) * self._beat
        later = [one for one in self._threes if one > number]
        return min(later) * self._beat if later else None


def _off(place: float, step: Fraction) -> float:
    return abs(place - round(place / float(step)) * float(step))


def _sounds(chords: dict[Fraction, tuple[set[int], float]], grids: _Grids, key: Key, meter: Meter) -> list[Sound]:
    found: list[Sound] = []
    starts = sorted(chords)
    for place, start in enumerate(starts):
        keys, until = chords[start]
        is_last = place + 1 == len(starts)
        following = _bar_end(start, until, grids, meter) if is_last else starts[place + 1]
        end = _end(start, until, following, is_last, grids)
        pitches = tuple(sorted((spelled(midi, key) for midi in keys), key=lambda pitch: pitch.midi))
        found.append(Sound(pitches, end - start))
        found += _rests(end, following, grids)
    return found


def _end(start: Fraction, until: float, following: Fraction, is_last: bool, grids: _Grids) -> Fraction:
    """Where a note is written to end: at the next one where it is held most of the way, else where it is let go."""
    step = grids.step(start)
    share = (until - float(start)) / float(following - start)
    end = following
    if is_last or share < HELD:
        end = min(max(start + round((until - float(start)) / float(step)) * step, start + step), following)
    seam = grids.seam_after(start)
    return end if seam is None else min(end, max(seam, start + step))


def _rests(start: Fraction, end: Fraction, grids: _Grids) -> list[Sound]:
    """Rests up to the next note, parted where triplets begin or end."""
    found = []
    while start < end:
        seam = grids.seam_after(start)
        until = end if seam is None or seam <= start else min(seam, end)
        found.append(Sound((), until - start))
        start = until
    return found


def _bar_end(start: Fraction, until: float, grids: _Grids, meter: Meter) -> Fraction:
    """The end of the bar in which the last note is let go."""
    end = start + max(round((until - float(start)) / float(SIXTEENTH)), 1) * SIXTEENTH
    return -(-end // meter.bar) * meter.bar
