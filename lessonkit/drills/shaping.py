"""What is done to a phrase before it is written: fitted into bars, simplified, made into steps for a hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import groupby

from lessonkit.drills.exercise import Meter
from lessonkit.drills.neighbours import plain
from lessonkit.drills.phrase import Phrase, Sound
from lessonkit.drills.writing import Step
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.respelling import Respelling

EIGHTH = Fraction(1, 8)

AHEAD = EIGHTH
"""A note struck so long before a chord or less, and held into it, belongs to that chord."""


def in_metre(phrase: Phrase, meter: Meter | None) -> Phrase:
    """The phrase in full bars: rests before a first bar that is short (a pick-up) and behind a last one.

    Raises ValueError with a sentence for any other bar that is not full. In free time bars stay as they are typed.
    """
    if meter is None:
        return phrase
    last = len(phrase.bars)
    for number, bar in enumerate(phrase.bars, start=1):
        is_end = number in (1, last)
        if bar > meter.bar or (bar < meter.bar and not is_end):
            raise ValueError(
                f"bar {number} of the phrase lasts {_counted(bar)} where a bar of {meter} has {_counted(meter.bar)}; "
                f"mend it or choose another metre"
            )
    before = meter.bar - phrase.bars[0] if last > 1 else Fraction(0)
    after = meter.bar - phrase.bars[-1]
    sounds = phrase.sounds
    if before:
        sounds = (Sound((), before), *sounds)
    if after:
        sounds = (*sounds, Sound((), after))
    chords = tuple((onset + before, chord) for onset, chord in phrase.chords)
    return Phrase(phrase.key, sounds, (meter.bar,) * last, chords)


def chord_tones_only(phrase: Phrase) -> Phrase:
    """The phrase without the notes that its chords have not; their time goes to the chord tone before them.

    Under a chord that begins with such notes it goes to the first chord tone after them; where a chord has none in the
    phrase, rests remain. Raises ValueError where no chord is typed, or no note is left.
    """
    if not phrase.chords:
        raise ValueError("the phrase has no chords, so its chord tones cannot be told; type them, such as Dm7:")
    heard = [(_heard_under(phrase, now, sound), now, sound) for now, sound in phrase.placed]
    sounds: list[Sound] = []
    for chord, under in groupby(heard, lambda item: item[0]):
        sounds += _tones_of(chord, [(now, sound) for _, now, sound in under])
    if not any(sound.pitches for sound in sounds):
        raise ValueError("no note of the phrase belongs to its chords; look at the chords or keep all notes")
    return replace(phrase, sounds=tuple(sounds))


def _tones_of(chord: Chord | None, placed: list[tuple[Fraction, Sound]]) -> list[Sound]:
    """What is left under one chord."""
    found: list[Sound] = []
    waiting = False
    for now, sound in placed:
        pitches = tuple(one for one in sound.pitches if chord is None or one.name in chord.tones)
        is_foreign = bool(sound.pitches) and not pitches
        before = found[-1] if found and _join(found[-1], sound, now) else None
        if before is not None and is_foreign and (before.pitches or waiting):
            found[-1] = replace(before, length=before.length + sound.length)
        elif before is not None and pitches and waiting:
            found[-1] = Sound(pitches, before.length + sound.length)
        else:
            found.append(Sound(pitches, sound.length))
        waiting = not found[-1].pitches and (is_foreign or waiting) and bool(sound.pitches)
    return found


def easily_read(phrase: Phrase, key: Key) -> tuple[Phrase, tuple[Respelling, ...]]:
    """The phrase with plain names for double accidentals that the key has not, and what was respelled.

    Under a chord that is itself respelled for the reader notes stay as they are and move with it.
    """
    changes: dict[NoteName, NoteName] = {}

    def read(pitch: Pitch, chord: Chord | None) -> Pitch:
        stays = not pitch.name.is_double or pitch.name in key.notes
        if stays or (chord is not None and (pitch.name in chord.tones or chord.friendly(key).respelled)):
            return pitch
        return plain(pitch)

    sounds = []
    for now, sound in phrase.placed:
        chord = phrase.chord_at(now)
        pitches = tuple(read(pitch, chord) for pitch in sound.pitches)
        changes |= {old.name: new.name for old, new in zip(sound.pitches, pitches, strict=True) if old != new}
        sounds.append(replace(sound, pitches=pitches))
    return replace(phrase, sounds=tuple(sounds)), tuple(Respelling(old, new) for old, new in changes.items())


def steps_of(phrase: Phrase, meter: Meter | None, start: Fraction = Fraction(0), first_group: int = 0) -> list[Step]:
    """The phrase as a hand plays it, beamed as the metre has it; ``start`` is when it begins in its bar."""
    group = {}
    for moment, sounds in _by_half_bars(phrase, meter, start):
        fine = any(sound.length < EIGHTH or sound.length.denominator % 3 == 0 for _, sound in sounds)
        for now, _ in sounds:
            beat = int((now + start) / _beat(meter)) if fine else -1
            group[now] = (moment, beat)
    order = {one: number for number, one in enumerate(dict.fromkeys(group.values()))}
    return [Step(sound.pitches, sound.length, first_group + order[group[now]]) for now, sound in phrase.placed]


def _by_half_bars(
    phrase: Phrase, meter: Meter | None, start: Fraction
) -> list[tuple[int, list[tuple[Fraction, Sound]]]]:
    span = _beamed(meter)
    return [(int(one), list(sounds)) for one, sounds in groupby(phrase.placed, lambda item: (item[0] + start) // span)]


def _beamed(meter: Meter | None) -> Fraction:
    """How long a beam may be: half a bar of four quarters, a dotted beat, a quarter elsewhere."""
    if meter is None or meter.beats == 4:
        return Fraction(1, 2)
    return Fraction(3, 8) if meter.unit == 8 else Fraction(1, 4)


def _beat(meter: Meter | None) -> Fraction:
    return Fraction(3, 8) if meter is not None and meter.unit == 8 else Fraction(1, 4)


def _counted(length: Fraction) -> str:
    """A length in quarters or, where they do not go up evenly, eighths or smaller: ``3 quarters``."""
    for parts, word in ((4, "quarter"), (8, "eighth"), (16, "sixteenth"), (32, "thirty-second")):
        if (length * parts).denominator == 1:
            number = int(length * parts)
            return f"{number} {word}{'' if number == 1 else 's'}"
    return f"{length} of a whole note"


def _heard_under(phrase: Phrase, now: Fraction, sound: Sound) -> Chord | None:
    end = now + sound.length
    ahead = next((chord for onset, chord in phrase.chords if now < onset <= now + AHEAD and onset < end), None)
    return ahead or phrase.chord_at(now) or phrase.chords[0][1]


def _join(one: Sound, other: Sound, now: Fraction) -> bool:
    """Whether two sounds can become one where the second begins: notes of a triplet join within their triplet only."""
    are_threes = [sound.length.denominator % 3 == 0 for sound in (one, other)]
    return not any(are_threes) if now.denominator % 3 else all(are_threes)
