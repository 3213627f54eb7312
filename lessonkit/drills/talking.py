"""A drill told in words, hand by hand, note by note with its finger, for students who do not see the page.

Lengths and octaves are said where they change; what a worksheet asks for is not given away.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from lessonkit.drills.exercise import Bar, BarEnd, Blank, Event, Exercise, Hand, Roll
from lessonkit.theory.label_style import PLAIN_STYLE, LabelStyle
from lessonkit.theory.naming import respoken
from lessonkit.theory.pitch import NoteName, Pitch

_LENGTHS = {
    Fraction(1): "whole", Fraction(3, 4): "dotted half", Fraction(1, 2): "half", Fraction(3, 8): "dotted quarter",
    Fraction(1, 4): "quarter", Fraction(3, 16): "dotted eighth", Fraction(1, 8): "eighth", Fraction(1, 16): "sixteenth",
    Fraction(1, 6): "triplet quarter", Fraction(1, 12): "triplet eighth", Fraction(1, 24): "triplet sixteenth",
    Fraction(1, 3): "triplet half", Fraction(1, 32): "thirty-second",
}  # fmt: skip
_SIGNS = {-2: " double flat", -1: " flat", 0: "", 1: " sharp", 2: " double sharp"}


def told_in_words(exercise: Exercise, style: LabelStyle = PLAIN_STYLE) -> tuple[str, ...]:
    """The lines of a drill: what it is in, then for each hand a line a bar."""
    meter = "free time" if exercise.meter is None else f"{exercise.meter.beats} {exercise.meter.unit} time"
    key = "The key is for you to find" if Blank.KEY in exercise.blank else f"Key of {_key_words(exercise)}"
    lines = [f"{key}, {meter}, {_counted(len(exercise.bars), 'bar')}."]
    for hand in exercise.hands:
        lines.append(f"{hand.value.capitalize()} hand.")
        if Blank.NOTES in exercise.blank or (hand is Hand.RIGHT and Blank.RIGHT_HAND in exercise.blank):
            lines.append("Its notes are left out for you to find.")
        lines += _bars(exercise, hand)
    return tuple(respoken(line, style.notes) for line in lines)


def spoken_pitch(pitch: Pitch) -> str:
    """A pitch in words: ``A flat 3``; middle C is C 4."""
    return f"{spoken_name(pitch.name)} {pitch.octave}"


def spoken_name(name: NoteName) -> str:
    """A note's name in words: ``A flat``."""
    return NoteName(name.letter).ascii + _SIGNS[name.alteration]


def _key_words(exercise: Exercise) -> str:
    return f"{spoken_name(exercise.key.tonic)} {exercise.key.mode.word}"


def _bars(exercise: Exercise, hand: Hand) -> Iterator[str]:
    events = exercise.of(hand)
    is_hidden = Blank.NOTES in exercise.blank or (hand is Hand.RIGHT and Blank.RIGHT_HAND in exercise.blank)
    length = ""
    key = exercise.key
    for number, bar in enumerate(exercise.bars, 1):
        begins = [event for event in events if bar.onset <= event.onset < bar.onset + bar.length]
        parts = [_harmony(exercise, bar)]
        if bar.key is not None and bar.key != key and Blank.KEY not in exercise.blank:
            key = bar.key
            parts.append(f"now in {spoken_name(key.tonic)} {key.mode.word}")
        told = []
        for event in begins if not is_hidden else ():
            said = _LENGTHS.get(event.length, f"{event.length} of a whole note")
            told.append(f"{said} {_event(event, exercise)}" if said != length else _event(event, exercise))
            length = said
        parts.append(", ".join(told))
        words = "; ".join(part for part in parts if part)
        end = f" Repeat, {bar.times} times in all." if bar.end is BarEnd.REPEAT else ""
        if words or end:
            yield f"Bar {number}: {words}.{end}"


def _harmony(exercise: Exercise, bar: Bar) -> str:
    if Blank.CHORD_NAMES in exercise.blank or not exercise.shown.chord_names:
        return ""
    marks = [mark for mark in exercise.chords if bar.onset <= mark.onset < bar.onset + bar.length]
    return f"chord {', then '.join(mark.chord.speak() for mark in marks)}" if marks else ""


def _event(event: Event, exercise: Exercise) -> str:
    if event.is_open:
        return "yours to fill"
    if not event.pitches:
        return "rest"
    has_fingers = Blank.FINGERS not in exercise.blank and len(event.fingers) == len(event.pitches)
    notes = []
    for place, pitch in enumerate(event.pitches):
        finger = event.fingers[place] if has_fingers else None
        notes.append(f"{spoken_pitch(pitch)} with {finger}" if finger else spoken_pitch(pitch))
    words = notes[0] if len(notes) == 1 else f"together {' and '.join(notes)}"
    if event.roll is not Roll.NONE:
        words += f", rolled {event.roll.value}"
    return f"{words}, tied" if event.is_tied else words


def _counted(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
