"""A key of the piano as a written pitch: as the chord has it, as the key has it, else as it is usually borrowed."""

from __future__ import annotations

from collections.abc import Iterator

from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch

_FOREIGN = tuple(Interval.parse(name) for name in ("m3", "m7", "A4", "m6", "m2", "M3", "M7", "M6"))
"""The notes that a key borrows most, as they are usually spelled (common practice, no source)."""


def spelled(midi: int, key: Key, chord: Chord | None = None) -> Pitch:
    """The pitch of a key of the piano in a key, over a chord where there is one.

    >>> spelled(63, Key.parse("Eb")), spelled(63, Key.parse("E"))
    (Pitch.parse('Eb4'), Pitch.parse('D#4'))
    """
    name = next(one for one in _names(key, chord) if one.pitch_class == midi % 12)
    pitch = name.in_octave(midi // 12 - 1)
    # The octave of a written C♭ or B♯ is not the one of the key that is struck.
    return pitch.octaves_up((midi - pitch.midi) // 12)


def _names(key: Key, chord: Chord | None) -> Iterator[NoteName]:
    if chord is not None:
        yield from chord.tones
    yield from key.notes
    foreign = [key.tonic + interval for interval in _FOREIGN]
    yield from (name for name in foreign if abs(name.alteration) < 2)
    signs = (0, -1, 1) if key.signature < 0 else (0, 1, -1)
    yield from (NoteName(letter, sign) for sign in signs for letter in range(7))
