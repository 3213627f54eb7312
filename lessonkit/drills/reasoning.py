"""Why the answers of a worksheet are what they are: the way to them in sentences, worked out from the same drill.

Everything said is counted from the chords of the drill itself; the rules are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from lessonkit.drills.exercise import Bar, Blank, Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.key_search import readings
from lessonkit.drills.setting import Setting
from lessonkit.theory.chord import Chord
from lessonkit.theory.key import MAJOR_KEYS, MINOR_KEYS, Key
from lessonkit.theory.quality import Quality
from lessonkit.theory.scale import Scale

MOST_QUALITIES = 8
"""The most kinds of chords that are explained; a page of them would hide the answers."""

NBSP = "\N{NO-BREAK SPACE}"
_SIGNS = str.maketrans({"b": "♭", "#": "♯"})


def reasons(drill: DrillFamily, exercise: Exercise, setting: Setting) -> tuple[str, ...]:
    """The sentences for an answer page, in the order of the way to the answers; none where there is nothing to say."""
    return (*_from_blanks(drill, exercise), *drill.reasons(setting))


def _from_blanks(drill: DrillFamily, exercise: Exercise) -> Iterator[str]:
    blank = exercise.blank
    if Blank.KEY in blank:
        yield from _of_keys(exercise)
    if Blank.DEGREES in blank:
        yield _of_degrees(exercise)
    asks_notes = bool(blank & {Blank.NOTES, Blank.RIGHT_HAND}) and not drill.has_passing_notes
    # Where the names are given and the key is asked for, the notes are only left out.
    if Blank.CHORD_NAMES in blank or (asks_notes and Blank.KEY not in blank):
        yield from _of_chords(exercise)


def _of_keys(exercise: Exercise) -> Iterator[str]:
    """For each puzzle what tells its key."""
    starts = [bar for bar in exercise.bars if bar.answer and bar.key is not None]
    for number, bar in enumerate(starts, start=1):
        end = starts[number].onset if number < len(starts) else exercise.length
        if bar.key is not None:
            yield f"{number}. {_clue(_chords_between(exercise, bar, end), bar.key)}"


def _chords_between(exercise: Exercise, bar: Bar, end: Fraction) -> tuple[Chord, ...]:
    found = (mark.chord for mark in exercise.chords if bar.onset <= mark.onset < end)
    return tuple(dict.fromkeys(found))


def _clue(chords: Sequence[Chord], key: Key) -> str:
    dominants = [chord for chord in chords if _is_dominant(chord.quality)]
    fifth = key.degree(5)
    if len(dominants) == 1 and dominants[0].root == fifth:
        (dominant,) = dominants
        third = dominant.tone_for("3")
        leads = f", and its third {third} leads up to it" if third not in Scale.of_key(key).names else ""
        return (
            f"{dominant} is the only dominant seventh; a fifth below its root lies the tonic {key.tonic}{leads}: {key}."
        )
    below = [chord for chord in chords if "b5" in chord.quality.degrees and _semitones(chord, key) == 11]
    if below:
        return f"{below[0]} has a diminished fifth and stands a semitone below the tonic {key.tonic}: {key}."
    pair = _major_triads_a_tone_apart(chords, key)
    if pair is not None:
        words = f"{pair[0]} and {pair[1]} are major triads a tone apart"
        return f"{words}, as they stand on the fourth and fifth degrees only: {key}."
    found = readings(chords, MINOR_KEYS if key.is_minor else MAJOR_KEYS)
    names = ", ".join(map(str, chords))
    if len(found) == 1:
        return f"Of all {key.mode.word} keys only {key} has the notes of {names}."
    return f"{names} all lie in {key}; the first and the last of them tell where home is."


def _major_triads_a_tone_apart(chords: Sequence[Chord], key: Key) -> tuple[Chord, Chord] | None:
    """The chords on the fourth and fifth degrees of a major key, where both are plain triads."""
    triads = {chord.root: chord for chord in chords if chord.quality.key == "maj" and chord.bass is None}
    four, five = triads.get(key.degree(4)), triads.get(key.degree(5))
    return (four, five) if four is not None and five is not None and not key.is_minor else None


def _is_dominant(quality: Quality) -> bool:
    return {"3", "b7"} <= set(quality.degrees)


def _semitones(chord: Chord, key: Key) -> int:
    return (chord.root.pitch_class - key.tonic.pitch_class) % 12


def _of_degrees(exercise: Exercise) -> str:
    key = next((bar.key for bar in exercise.bars if bar.key is not None), exercise.key)
    notes = ", ".join(f"{number}{NBSP}{name}" for number, name in enumerate(Scale.of_key(key).names, start=1))
    others = {bar.key for bar in exercise.bars if bar.key is not None} - {key}
    more = " The other keys are counted in the same way." if others else ""
    return f"A chord's degree is the place of its root in the scale of the key. In {key}: {notes}.{more}"


def _of_chords(exercise: Exercise) -> Iterator[str]:
    """What each kind of chord is made of, with its first chord as the example."""
    examples: dict[str, Chord] = {}
    for mark in exercise.chords:
        examples.setdefault(mark.chord.quality.key, mark.chord)
    for chord in list(examples.values())[:MOST_QUALITIES]:
        degrees = f",{NBSP}".join(chord.quality.degrees).translate(_SIGNS)
        tones = " ".join(str(chord.tone_for(degree)) for degree in chord.quality.degrees)
        name = str(Chord(chord.root, chord.quality))
        kind = chord.quality.words
        yield f"{kind[:1].upper()}{kind[1:]}: {degrees} of the major scale on the root, so {name} is {tones}."
