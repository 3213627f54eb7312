"""What is to be said of the fingers that a teacher typed: those that cannot be, and where they meet other keys."""

from __future__ import annotations

import dataclasses
from fractions import Fraction
from typing import NamedTuple

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.fingers import RunnerUp
from lessonkit.drills.passages import key_onsets
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.hand import Hand

Names = tuple[str, ...]
Fingers = tuple[int | None, ...]


def has_typed_fingers(drill: DrillFamily) -> bool:
    """Whether any finger is typed, in whatever key."""
    return any(drill.right_fingers + drill.left_fingers) or bool(drill.fingers_in_keys)


def finger_remarks(drill: DrillFamily, setting: Setting) -> tuple[str, ...]:
    """The sentences that the typed fingers bring, in order; raises ValueError as ``realise`` does."""
    if not has_typed_fingers(drill):
        return ()
    without = dataclasses.replace(drill, right_fingers=(), left_fingers=(), fingers_in_keys=())
    usual = set(realise(without, setting).remarks)
    return tuple(remark for remark in realise(drill, setting).remarks if remark not in usual)


def swapped_group(exercise: Exercise, other: RunnerUp) -> tuple[Names, Fingers, Fingers]:
    """The first group of notes that other fingers change: the notes, their fingers now, and their fingers then."""
    wanted = dict(other.changes)
    onsets = [onset for onset, _ in key_onsets(exercise)]
    for (begin, key), end in zip(key_onsets(exercise), [*onsets[1:], exercise.length], strict=True):
        notes = _notes(exercise, other.hand, begin, end) if key == other.key else []
        changed = [number for number, note in enumerate(notes) if wanted.get(number, note.finger) != note.finger]
        if changed:
            group = [number for number, note in enumerate(notes) if note.group == notes[changed[0]].group]
            then = tuple(wanted.get(number, notes[number].finger) for number in group)
            return tuple(notes[number].name for number in group), tuple(notes[number].finger for number in group), then
    return (), (), ()


class _Note(NamedTuple):
    """A note of one hand, in words, with its finger and its group."""

    name: str
    finger: int | None
    group: int


def _notes(exercise: Exercise, hand: Hand, begin: Fraction, end: Fraction) -> list[_Note]:
    """The notes of a hand between two moments, in the order in which fingers are typed."""
    notes: list[_Note] = []
    for event in exercise.of(hand):
        if begin <= event.onset < end:
            fingers = event.fingers or (None,) * len(event.pitches)
            named = zip(event.pitches, fingers, strict=True)
            notes += [_Note(str(pitch), finger, event.group) for pitch, finger in named]
    return notes
