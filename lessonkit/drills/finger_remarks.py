"""What is to be said of the fingers that a teacher typed: those that cannot be, and where they meet other keys."""

from __future__ import annotations

import dataclasses

from lessonkit.drills.exercise import Exercise
from lessonkit.drills.family import DrillFamily, FingersHold
from lessonkit.drills.fingers import typed_place
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.hand import Hand
from lessonkit.theory.key import Key


def has_typed_fingers(drill: DrillFamily) -> bool:
    """Whether any finger is typed, in whatever key."""
    return any(drill.right_fingers + drill.left_fingers)


def finger_remarks(drill: DrillFamily, setting: Setting) -> tuple[str, ...]:
    """The sentences that the typed fingers bring, in order; raises ValueError as ``realise`` does."""
    if not has_typed_fingers(drill):
        return ()
    without = dataclasses.replace(drill, right_fingers=(), left_fingers=())
    usual = set(realise(without, setting).remarks)
    return tuple(remark for remark in realise(drill, setting).remarks if remark not in usual)


def typed_elsewhere(drill: DrillFamily, exercise: Exercise, event: int) -> Key | None:
    """The one key in which the drill's typed fingers hold, where the event stands in another; else None."""
    if drill.fingers_hold is FingersHold.EVERY_KEY or not has_typed_fingers(drill):
        return None
    home = drill.fingers_key or exercise.key
    _, _, key = typed_place(exercise, event, 0)
    is_same = home.mode is key.mode and home.tonic.pitch_class == key.tonic.pitch_class
    return None if is_same else home


def swapped_group(
    exercise: Exercise, hand: Hand, changes: tuple[tuple[int, int], ...]
) -> tuple[tuple[str, ...], tuple[int | None, ...], tuple[int | None, ...]]:
    """The first group of a hand that other fingers change: its notes, its fingers now, and its fingers then.

    ``changes`` are a ``RunnerUp``'s: the number of each note in the exercise's first key and its other finger.
    """
    wanted = dict(changes)
    notes: list[tuple[int, str, int | None]] = []
    for event in exercise.of(hand):
        fingers = event.fingers or (None,) * len(event.pitches)
        notes += [(event.group, str(pitch), finger) for pitch, finger in zip(event.pitches, fingers, strict=True)]
    first = min(wanted)
    group = [number for number, note in enumerate(notes) if note[0] == notes[first][0]]
    names = tuple(notes[number][1] for number in group)
    now = tuple(notes[number][2] for number in group)
    then = tuple(wanted.get(number, notes[number][2]) for number in group)
    return names, now, then
