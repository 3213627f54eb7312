"""Which scale a line is made of, on which chord it stands, and how its blue note is spelled as the line moves."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.drills.neighbours import plain
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import key_of_mode
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import Quality, interval_of_degree
from lessonkit.theory.roman import diatonic_chord
from lessonkit.theory.scale import SCALES, Scale, ScaleKind


class ScaleChoice(Enum):
    """The scale that a line is made of, on the key's tonic."""

    KEY = "as the key has it"
    MAJOR_PENTATONIC = "major pentatonic"
    MINOR_PENTATONIC = "minor pentatonic"
    BLUES = "blues"
    MAJOR_BLUES = "major blues"
    DORIAN = "dorian"
    MIXOLYDIAN = "mixolydian"
    LYDIAN = "lydian"
    LYDIAN_DOMINANT = "lydian dominant"
    HARMONIC_MINOR = "harmonic minor"
    MELODIC_MINOR = "melodic minor"
    BEBOP_DOMINANT = "bebop dominant"
    BEBOP_MAJOR = "bebop major"
    HALF_WHOLE = "octatonic half-whole"
    WHOLE_TONE = "whole-tone"

    def on(self, key: Key) -> Scale:
        """The scale on the tonic of a key."""
        return Scale.of_key(key) if self is ScaleChoice.KEY else Scale(key.tonic, _KINDS[self])

    def key_on(self, key: Key, prefer_flat_six: bool = True) -> Key:
        """The key whose signature the scale is written in: that of its mode, on the tonic of a key.

        Pentatonics and the minor scales go by their third. Scales that belong to a dominant, and the blues, which is
        written in the key it is played in, keep the key's own signature (common practice, no source).
        """
        mode = _MODES.get(self, key.mode)
        return key if mode is key.mode else key_of_mode(key.tonic, mode, prefer_flat_six)

    def chord_on(self, key: Key) -> Chord:
        """The chord on the tonic over which the scale is usually played; common practice, no source."""
        if self is ScaleChoice.KEY:
            return diatonic_chord(key, 1)
        return Chord(key.tonic, Quality.named(_CHORDS[self]))


_MAJOR_BLUES = ScaleKind(
    "major blues", tuple(interval_of_degree(degree) for degree in ("1", "2", "b3", "3", "5", "6")), Mode.MAJOR
)
_KINDS = {
    choice: _MAJOR_BLUES if choice is ScaleChoice.MAJOR_BLUES else SCALES[choice.value]
    for choice in ScaleChoice
    if choice is not ScaleChoice.KEY
}
_CHORDS = {
    ScaleChoice.MAJOR_PENTATONIC: "6", ScaleChoice.MINOR_PENTATONIC: "m7", ScaleChoice.BLUES: "7",
    ScaleChoice.MAJOR_BLUES: "6", ScaleChoice.DORIAN: "m7", ScaleChoice.MIXOLYDIAN: "7", ScaleChoice.LYDIAN: "maj7#11",
    ScaleChoice.LYDIAN_DOMINANT: "7#11", ScaleChoice.HARMONIC_MINOR: "m(maj7)", ScaleChoice.MELODIC_MINOR: "m(maj7)",
    ScaleChoice.BEBOP_DOMINANT: "7", ScaleChoice.BEBOP_MAJOR: "6", ScaleChoice.HALF_WHOLE: "7b9",
    ScaleChoice.WHOLE_TONE: "7#5",
}  # fmt: skip
_MODES = {
    ScaleChoice.DORIAN: Mode.DORIAN, ScaleChoice.MIXOLYDIAN: Mode.MIXOLYDIAN, ScaleChoice.LYDIAN: Mode.LYDIAN,
    ScaleChoice.MAJOR_PENTATONIC: Mode.MAJOR, ScaleChoice.MAJOR_BLUES: Mode.MAJOR, ScaleChoice.BEBOP_MAJOR: Mode.MAJOR,
    ScaleChoice.MINOR_PENTATONIC: Mode.MINOR, ScaleChoice.HARMONIC_MINOR: Mode.MINOR,
    ScaleChoice.MELODIC_MINOR: Mode.MINOR,
}  # fmt: skip
_BLUE = {"blues": ("b5", "#4"), "major blues": ("b3", "#2")}
"""The passing note of each blues scale, falling and rising."""


def as_it_moves(line: Sequence[Pitch], scale: Scale) -> list[Pitch]:
    """The line with the blue note sharp where it rises by a semitone and flat elsewhere: F F♯ G and G G♭ F.

    Notes that would need a double accidental outside a scale of seven notes take their plain name (A for B𝄫).
    """
    if len(scale.kind.tones) == 7:
        return list(line)
    flat, sharp = _blue(scale)
    spelled = []
    for place, pitch in enumerate(line):
        is_rising = place + 1 < len(line) and line[place + 1].midi == pitch.midi + 1
        if pitch.name == flat and sharp is not None and is_rising:
            pitch = sharp.nearest_above(pitch)
        spelled.append(plain(pitch))
    return spelled


def resting_rungs(scale: Scale) -> tuple[int, ...]:
    """The notes of a scale on which a phrase may stop short of the tonic, 0 the tonic: all others but the blue note."""
    flat, _ = _blue(scale)
    return tuple(rung for rung, name in enumerate(scale.names) if rung and name != flat)


def _blue(scale: Scale) -> tuple[NoteName | None, NoteName | None]:
    if scale.kind.key not in _BLUE:
        return None, None
    flat, sharp = (scale.tonic + interval_of_degree(degree) for degree in _BLUE[scale.kind.key])
    return flat, sharp
