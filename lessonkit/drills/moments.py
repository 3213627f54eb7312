"""A drill moment by moment: the keys that are down, by hand and finger, and what a key is in the harmony."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import groupby

from lessonkit.drills.exercise import ChordMark, Event, Exercise
from lessonkit.hands.hand import Hand
from lessonkit.theory.key import Key
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.pitch import NoteName, Pitch
from lessonkit.theory.quality import degree_of_interval
from lessonkit.values import dataclass


@dataclass(frozen=True, slots=True)
class KeyDown:
    """A key that is down: by which hand and finger (None where none is known), and whether it is struck just now.

    ``event`` and ``pitch`` say where it stands in the exercise.
    """

    pitch: Pitch
    hand: Hand
    finger: int | None
    is_struck: bool
    event: int
    place: int


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment at which something is struck. ``bar`` counts from 1; ``beat`` too, in the beats of the metre."""

    onset: Fraction
    bar: int
    beat: Fraction | None
    keys: tuple[KeyDown, ...]
    key: Key
    chord: ChordMark | None


@lru_cache(maxsize=64)
def moments(exercise: Exercise) -> tuple[Moment, ...]:
    """Every moment of an exercise in order; there is none where nothing is written."""
    played = sorted(
        ((index, event) for index, event in enumerate(exercise.events) if event.pitches and not event.is_open),
        key=lambda one: one[1].onset,
    )
    starts, marks = [bar.onset for bar in exercise.bars], [mark.onset for mark in exercise.chords]
    found: list[Moment] = []
    sounding: list[tuple[int, Event]] = []
    for onset, together in groupby(played, key=lambda one: one[1].onset):
        before = sounding
        struck = list(together)
        sounding = [one for one in before if one[1].end > onset] + struck
        keys = tuple(down for index, event in sounding for down in _keys_down(index, event, onset, before))
        bar = max(bisect_right(starts, onset), 1)
        chord = bisect_right(marks, onset)
        found.append(
            Moment(
                onset, bar, _beat(exercise, bar, onset), keys, _key_at(exercise, bar),
                exercise.chords[chord - 1] if chord else None,
            )
        )  # fmt: skip
    return tuple(found)


def told(pitch_class: int, moment: Moment, style: LabelStyle = PLAIN_STYLE) -> str:
    """What a key is at a moment: ``C: 3 of A♭maj7, degree 6 of E♭ major``."""
    name = spelled(pitch_class, moment)
    parts = []
    chord = moment.chord.chord if moment.chord is not None else None
    if chord is not None:
        if name in chord.tones:
            degree = degree_in_chord(name, moment.chord)
            parts.append(f"{'root' if degree == '1' else degree} of {chord.symbol(style)}")
        elif name == chord.lowest:
            parts.append(f"bass of {chord.symbol(style)}")
        else:
            parts.append(f"not in {chord.symbol(style)}")
    parts.append(f"degree {degree_in_key(name, moment.key)} of {style.key(moment.key)}")
    return f"{style.note(name)}: {', '.join(parts)}"


def spelled(pitch_class: int, moment: Moment) -> NoteName:
    """A key's name at a moment: as it is written then, as a tone of the chord, or as the key has it."""
    names = [down.pitch.name for down in moment.keys]
    if moment.chord is not None:
        names += [*moment.chord.chord.tones, moment.chord.chord.lowest]
    names += sorted(moment.key.notes, key=lambda name: name.ascii)
    for name in names:
        if name.pitch_class == pitch_class:
            return name
    is_flat = moment.key.signature < 0
    letters = (NoteName(letter, sign) for sign in ((0, -1, 1) if is_flat else (0, 1, -1)) for letter in range(7))
    return next(name for name in letters if name.pitch_class == pitch_class)


def degree_in_chord(name: NoteName, mark: ChordMark | None) -> str:
    """The degree that a tone is of a chord, such as ``♭7``."""
    assert mark is not None
    tones, intervals = mark.chord.tones, mark.chord.quality.tones
    return _signs(degree_of_interval(intervals[tones.index(name)]))


def degree_in_key(name: NoteName, key: Key) -> str:
    """The degree that a note is of a key, such as ``6`` or ``♯4``."""
    number = (name.letter - key.tonic.letter) % 7 + 1
    off = name.alteration - key.degree(number).alteration
    return _signs(("#" * off if off > 0 else "b" * -off) + str(number))


def _signs(degree: str) -> str:
    return degree.replace("b", "♭").replace("#", "♯")


def _keys_down(index: int, event: Event, onset: Fraction, before: list[tuple[int, Event]]) -> Iterator[KeyDown]:
    """The keys of an event; what a tie holds over from an event before is not struck again."""
    held = {
        pitch.midi
        for _, other in before
        if other.is_tied and other.hand is event.hand and other.end == event.onset
        for pitch in other.pitches
    }
    fingers = event.fingers or (None,) * len(event.pitches)
    for place, (pitch, finger) in enumerate(zip(event.pitches, fingers, strict=True)):
        yield KeyDown(pitch, event.hand, finger, event.onset == onset and pitch.midi not in held, index, place)


def _beat(exercise: Exercise, bar: int, onset: Fraction) -> Fraction | None:
    if exercise.meter is None or not exercise.bars:
        return None
    return (onset - exercise.bars[bar - 1].onset) * exercise.meter.unit + 1


def _key_at(exercise: Exercise, bar: int) -> Key:
    return next((one.key for one in reversed(exercise.bars[:bar]) if one.key is not None), exercise.key)
