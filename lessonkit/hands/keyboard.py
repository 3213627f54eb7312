"""The keys of a piano in millimetres. Every distance the hand has to cover is taken from here, never from semitones.

Sources: the octave of 165 mm is the width most makers keep (common practice); a white key is a seventh of it.
How far each black key lies from the crack between its white neighbours is from memory; makers differ by some 2 mm.
"""

from __future__ import annotations

from lessonkit.theory.pitch import HIGHEST_MIDI, LOWEST_MIDI

OCTAVE_MM = 165.0
"""Seven white keys, crack to crack."""

WHITE_KEY_MM = OCTAVE_MM / 7
"""One white key at the front, 23.6 mm."""

BLACK_KEY_MM = 10.5
"""The playing surface of a black key (from memory: 9.5 to 11 mm)."""

SEMITONE_MM = OCTAVE_MM / 12
"""The mean width of a semitone, 13.75 mm; costs are weighed per semitone so that they read like the trade's tables."""

WHOLE_TONE_MM = 34.0
"""Wider than any whole tone, narrower than any minor third between neighbouring keys of a chord."""

BLACK_PITCH_CLASSES = frozenset((1, 3, 6, 8, 10))

_WHITE_INDEX = {0: 0, 2: 1, 4: 2, 5: 3, 7: 4, 9: 5, 11: 6}
_BLACK_CRACK_AND_OFFSET = {1: (1, -2.5), 3: (2, 2.5), 6: (4, -3.5), 8: (5, 0.0), 10: (6, 3.5)}
"""For each black key: the number of the crack it stands over, and how many millimetres it stands right of it."""


def _centre_within_octave(pitch_class: int) -> float:
    if pitch_class in _WHITE_INDEX:
        return (_WHITE_INDEX[pitch_class] + 0.5) * WHITE_KEY_MM
    crack, offset = _BLACK_CRACK_AND_OFFSET[pitch_class]
    return crack * WHITE_KEY_MM + offset


_CENTRES = tuple((midi // 12) * OCTAVE_MM + _centre_within_octave(midi % 12) for midi in range(128))


def centre_mm(midi: int) -> float:
    """Where the middle of a key lies, in millimetres to the right of MIDI key 0 (0 to 127)."""
    return _CENTRES[midi]


def distance_mm(low: int, high: int) -> float:
    """From the middle of one key to the middle of another; negative when ``high`` lies to the left."""
    return _CENTRES[high] - _CENTRES[low]


def is_black(midi: int) -> bool:
    """Whether the key is a black one."""
    return midi % 12 in BLACK_PITCH_CLASSES


def is_on_keyboard(midi: int) -> bool:
    """Whether the piano has the key (A0 to C8)."""
    return LOWEST_MIDI <= midi <= HIGHEST_MIDI


def mirrored(midi: int) -> int:
    """The key at the same distance on the other side of D4, the keyboard's axis of symmetry.

    The left hand meets the mirrored keys just as the right hand meets the keys themselves, so one search serves both.
    """
    return 124 - midi


def target_width_mm(midi: int, allowed: frozenset[int] = frozenset()) -> float:
    """How wide the spot is that a falling finger may hit without touching a wrong key, played between the black keys.

    ``allowed`` are keys of the same chord: touching them does no harm. D is about 18 mm wide there, F 19 mm.
    """
    centre = _CENTRES[midi]
    if is_black(midi):
        return BLACK_KEY_MM
    left, right = centre - WHITE_KEY_MM / 2, centre + WHITE_KEY_MM / 2
    if is_black(midi - 1) and midi - 1 not in allowed:
        left = max(left, _CENTRES[midi - 1] + BLACK_KEY_MM / 2)
    if is_black(midi + 1) and midi + 1 not in allowed:
        right = min(right, _CENTRES[midi + 1] - BLACK_KEY_MM / 2)
    return right - left
