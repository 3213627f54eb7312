"""A phrase of the teacher's own as raw material: what other families do with it in place of a cell of their own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from lessonkit.drills import fields
from lessonkit.drills.carrying import carried_phrase
from lessonkit.drills.exercise import Meter
from lessonkit.drills.phrase import Phrase, Sound
from lessonkit.drills.shaping import steps_of
from lessonkit.drills.writing import Step, check_size
from lessonkit.theory.chord import Chord
from lessonkit.theory.enharmonic import key_of_mode
from lessonkit.theory.key import Key, Mode
from lessonkit.theory.pitch import Interval, NoteName, Pitch

MOST_BARS = 64
"""A phrase that needs more bars to come together with the bar line again is refused."""


_SEMITONE = Interval.parse("m2")


def own_phrase_setting(**more: Any) -> Any:
    """A field for a phrase of the teacher's own; every family that can take one asks for it in the same words."""
    return fields.phrase("", label="Own phrase", **more)


def moved_in_scale(phrase: Phrase, steps: int) -> Phrase:
    """The phrase on another note of its key's scale.

    A raised note stays a semitone below the scale's note above it, a lowered one a semitone above that below: F♯ to G
    becomes B to C.
    """
    return _with_pitches(phrase, lambda pitches: tuple(_in_scale(pitch, steps, phrase.key) for pitch in pitches))


def _in_scale(pitch: Pitch, steps: int, key: Key) -> Pitch:
    def on_scale(step: int) -> Pitch:
        octave, letter = divmod(step, 7)
        return Pitch(letter, key.alteration_in_signature(letter), octave)

    off = pitch.alteration - key.alteration_in_signature(pitch.letter)
    for side, interval in ((1, _SEMITONE), (-1, -_SEMITONE)):
        is_beside = abs(on_scale(pitch.staff_step + side).midi - pitch.midi) == 1
        if off * side > 0 and is_beside:
            return on_scale(pitch.staff_step + steps + side) - interval
    moved = on_scale(pitch.staff_step + steps)
    return replace(moved, alteration=moved.alteration + off)


def moved_by(phrase: Phrase, interval: Interval) -> Phrase:
    """The phrase an interval higher; its key stays what it says."""
    return _with_pitches(phrase, lambda pitches: tuple(pitch + interval for pitch in pitches))


def over_chord(phrase: Phrase, chord: Chord, above: Pitch, time: Fraction) -> list[Sound]:
    """The phrase over a chord as over the chord of its own tonic, above a note; cut, or followed by a rest, to fit.

    Over a minor chord it is in minor, and wherever the chord has a note of its own on a letter, such as a minor
    seventh or a diminished fifth, the phrase has it too.
    """
    key = key_of_mode(chord.root, Mode.MINOR if chord.quality.is_minor else Mode.MAJOR)
    carried = carried_phrase(replace(phrase, chords=()), key, above, True)
    shift = key.tonic.letter - chord.root.letter
    own = {(tone.letter + shift) % 7: (key.tonic + (_from_root(chord, tone))).alteration for tone in chord.tones[::-1]}

    def fitting(pitch: Pitch) -> Pitch:
        is_of_scale = pitch.alteration == key.alteration_in_signature(pitch.letter)
        return replace(pitch, alteration=own.get(pitch.letter, pitch.alteration)) if is_of_scale else pitch

    carried = _with_pitches(carried, lambda pitches: tuple(map(fitting, pitches)))
    lowest = min(pitch.midi for pitch in carried.pitches)
    octaves = -((lowest - above.midi - 3) // 12)
    sounds: list[Sound] = []
    left = time
    for sound in carried.sounds:
        if left <= 0:
            break
        pitches = tuple(pitch.octaves_up(octaves) for pitch in sound.pitches)
        sounds.append(Sound(pitches, min(sound.length, left)))
        left -= sounds[-1].length
    if left > 0:
        sounds.append(Sound((), left))
    return sounds


def run_on(phrase: Phrase, period: Fraction, meter: Meter) -> tuple[Phrase, int]:
    """The phrase again each ``period`` until it begins on a bar line once more; and how often that is.

    Raises ValueError where that takes too many bars.
    """
    ratio = period / meter.bar
    bars, times = ratio.numerator, ratio.denominator
    if bars > MOST_BARS:
        raise ValueError(f"the phrase would come together with the bar line after {bars} bars; make it shorter")
    check_size(len(phrase.sounds) * times)
    gap = (Sound((), period - phrase.length),) if period > phrase.length else ()
    return replace(phrase, sounds=(phrase.sounds + gap) * times, bars=(meter.bar,) * bars, chords=()), times


def chained(statements: Sequence[Phrase], meter: Meter | None) -> tuple[list[Step], list[Fraction]]:
    """Statements of a phrase one after another as a hand plays them, beamed by the metre; and when each begins."""
    whole = replace(
        statements[0],
        sounds=tuple(sound for one in statements for sound in one.sounds),
        bars=tuple(bar for one in statements for bar in one.bars),
        chords=(),
    )
    length = statements[0].length
    return steps_of(whole, meter), [length * number for number in range(len(statements))]


def own_key(phrase: Phrase, key: Key, near: Pitch) -> Phrase:
    """The phrase without its chords in the key of a drill."""
    return carried_phrase(replace(phrase, chords=()), key, near, True)


def _from_root(chord: Chord, tone: NoteName) -> Interval:
    return chord.root.in_octave(4).interval_to(tone.in_octave(4))


def _with_pitches(phrase: Phrase, change: Any) -> Phrase:
    return replace(
        phrase, sounds=tuple(replace(sound, pitches=change(sound.pitches)) for sound in phrase.sounds), chords=()
    )
