"""Notes beside a target that lead to it: the next note of the scale, or a semitone away.

From below a semitone is spelled with the letter below, raised; from above with the letter above, lowered. Where that
would need a double accidental the note takes its plain name: it belongs to no chord that would ask for the letter.
"""

from __future__ import annotations

from enum import Enum
from functools import lru_cache

from lessonkit.theory.key import Key
from lessonkit.theory.pitch import Interval, NoteName, Pitch

SEMITONE = Interval(1, 1)
TONE = Interval(1, 2)


class Side(Enum):
    """From where a target is approached."""

    ABOVE = 1
    BELOW = -1


@lru_cache(maxsize=4096)
def semitone_beside(target: Pitch, side: Side) -> Pitch:
    """The note a semitone above or below."""
    return plain(target + SEMITONE if side is Side.ABOVE else target - SEMITONE)


def tone_beside(target: Pitch, side: Side) -> Pitch:
    """The note a whole tone above or below."""
    return plain(target + TONE if side is Side.ABOVE else target - TONE)


@lru_cache(maxsize=4096)
def step_beside(target: Pitch, side: Side, key: Key) -> Pitch:
    """The key's next note above or below; where it is neither a semitone nor a tone away, the note a tone away."""
    letter = (target.letter + side.value) % 7
    name = NoteName(letter, key.alteration_in_signature(letter))
    octave = target.octave + (target.letter + side.value) // 7
    found = name.in_octave(octave)
    return found if 1 <= side.value * (found.midi - target.midi) <= TONE.semitones else tone_beside(target, side)


def plain(pitch: Pitch) -> Pitch:
    """The same key of the piano without a double accidental."""
    return pitch.name.simplest.nearest_above(pitch) if pitch.name.is_double else pitch
