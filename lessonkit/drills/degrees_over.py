"""Notes by their degree above a bass: what a figure such as 1-5-8-9-10 means over any chord of any key.

A degree that the chord has is the chord's own; the others are the key's where that is natural above the root.
"""

from __future__ import annotations

from functools import lru_cache

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import OCTAVE, Interval, NoteName, Pitch

_NATURAL = {1: (2, 1), 2: (4, 3), 3: (5, 6), 4: (7,), 5: (9, 8), 6: (10, 11)}
"""By letters above the root: the semitones that a note of the key may have there, the usual one first."""

_THIRD = 2
_SUSPENDED = (3, 1)
"""The letters that stand for the third of a suspended chord."""


@lru_cache(maxsize=8192)
def degree_over(bass: Pitch, chord: Chord, number: int, key: Key) -> Pitch:
    """The note on a degree over a bass: 1 the bass, 8 its octave, 10 the third above that.

    Degrees count from the chord's root; over another bass they lie above the bass all the same. A negative degree lies
    below: -7 is the seventh under the bass. The ninth over G7 is A in C major, A♭ in C minor. Raises ValueError for 0.
    """
    if number == 0:
        raise ValueError("0 is not a degree; 1 is the bass, 8 its octave, and -7 the seventh below it")
    if number == 1:
        return bass
    root = chord.root.nearest_above(bass - Interval(6, 11))
    if number < 0:
        below = root + interval_over(chord, -number, key)
        return below.octaves_up(-1) if below.midi >= bass.midi else below
    above = root + interval_over(chord, number, key)
    return above.octaves_up(1) if above.midi <= bass.midi else above


@lru_cache(maxsize=8192)
def interval_over(chord: Chord, number: int, key: Key) -> Interval:
    """The interval that a degree of 1 or more is above the root of a chord in a key."""
    octaves, letters = divmod(number - 1, OCTAVE.steps)
    simple = _simple(chord, letters, key)
    return Interval(simple.steps + OCTAVE.steps * octaves, simple.semitones + OCTAVE.semitones * octaves)


@lru_cache(maxsize=8192)
def scale_around(chord: Chord, key: Key) -> tuple[NoteName, ...]:
    """The notes of a chord with the key's between them, from the root up: a scale of seven notes.

    Where a chord's own note already sounds as one of those between, that one is left out.
    """
    own = _own(chord)
    between = {letters: _of_key(chord, letters, key) for letters in range(OCTAVE.steps) if letters not in own}
    taken = {interval.semitones % OCTAVE.semitones for interval in own.values()}
    free = {letters: one for letters, one in between.items() if one.semitones not in taken}
    rising = sorted({**own, **free}.values(), key=lambda interval: interval.semitones)
    return tuple(chord.root + interval for interval in rising)


def _simple(chord: Chord, letters: int, key: Key) -> Interval:
    own = _own(chord)
    for steps in (letters, *(_SUSPENDED if letters == _THIRD else ())):
        if steps in own:
            return own[steps]
    return _of_key(chord, letters, key)


def _own(chord: Chord) -> dict[int, Interval]:
    """The chord's own notes within the octave, by letters above the root."""
    return {
        tone.steps % OCTAVE.steps: Interval(
            tone.steps % OCTAVE.steps, tone.semitones - OCTAVE.semitones * (tone.steps // OCTAVE.steps)
        )
        for tone in reversed(chord.quality.tones)
    }


def _of_key(chord: Chord, letters: int, key: Key) -> Interval:
    """The key's note where that is natural above the root, otherwise the usual one."""
    letter = (chord.root.letter + letters) % OCTAVE.steps
    of_key = NoteName(letter, key.alteration_in_signature(letter)).pitch_class
    semitones = (of_key - chord.root.pitch_class) % OCTAVE.semitones
    return Interval(letters, semitones if semitones in _NATURAL[letters] else _NATURAL[letters][0])
