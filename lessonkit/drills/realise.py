"""Works a drill out, once for each value: built, spelled as the lesson wishes, held to the keyboard and fingered."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from lessonkit.drills.exercise import Event, Exercise, Hand
from lessonkit.drills.family import DrillFamily, Wide
from lessonkit.drills.fingers import with_fingers
from lessonkit.drills.setting import USUAL_TEMPO, Setting
from lessonkit.drills.wide_places import eased
from lessonkit.drills.working_out import worked_out
from lessonkit.theory.chord import Friendly
from lessonkit.theory.key import Key
from lessonkit.theory.pitch import HIGHEST_MIDI, LOWEST_MIDI


def realise(family: DrillFamily, setting: Setting) -> Exercise:
    """The drill worked out in its surroundings; equal drills in equal surroundings are worked out once.

    Raises ValueError with a sentence where its settings do not go together, a hand would leave the keyboard or the
    drill would have too many notes.
    """
    # What changes no note is taken out, so that drills stay worked out while it is turned.
    return _realised(family, replace(setting.in_english, tempo=USUAL_TEMPO, shows_difficulty=False))


@lru_cache(maxsize=1024)
def _realised(family: DrillFamily, setting: Setting) -> Exercise:
    setting = family.setting_of(setting)
    exercise = worked_out(family, setting)
    if setting.is_friendly:
        exercise = _friendly(exercise)
    _check_keyboard(exercise)
    exercise = with_fingers(exercise, family, setting)
    return eased(exercise, family, setting.hands) if family.wide is Wide.ROLLED else exercise


def _check_keyboard(exercise: Exercise) -> None:
    for hand in Hand:
        pitches = [pitch for event in exercise.events if event.hand is hand for pitch in event.pitches]
        if not pitches:
            continue
        highest = max(pitches, key=lambda pitch: pitch.midi)
        if highest.midi > HIGHEST_MIDI:
            raise ValueError(
                f"the {hand.value} hand would reach {highest}, above the piano's C8; begin lower or take fewer octaves"
            )
        lowest = min(pitches, key=lambda pitch: pitch.midi)
        if lowest.midi < LOWEST_MIDI:
            raise ValueError(f"the {hand.value} hand would reach down to {lowest}, below the piano's A0; begin higher")


def _friendly(exercise: Exercise) -> Exercise:
    """The exercise as a reader likes it: each chord and its notes respelled where theory says so, with remarks."""
    onsets = [mark.onset for mark in exercise.chords]
    keys = [(bar.onset, bar.key) for bar in exercise.bars if bar.key is not None]
    begins = [onset for onset, _ in keys]

    def key_at(onset: Fraction) -> Key:
        return keys[bisect_right(begins, onset) - 1][1]

    read: list[Friendly] = [mark.chord.friendly(key_at(mark.onset)) for mark in exercise.chords]
    if not any(one.respelled for one in read):
        return exercise

    def respelled(event: Event) -> Event:
        place = bisect_right(onsets, event.onset) - 1
        if place < 0 or not read[place].respelled:
            return event
        return replace(event, pitches=read[place].spelled(event.pitches))

    remarks: dict[str, None] = {}
    for mark, one in zip(exercise.chords, read, strict=True):
        if one.respelled:
            changes = ", ".join(f"{change.printed} for {change.strict}" for change in one.respelled)
            remarks[f"{mark.chord}: {changes}"] = None
    return replace(
        exercise,
        events=tuple(respelled(event) for event in exercise.events),
        samples=tuple(respelled(event) for event in exercise.samples),
        chords=tuple(replace(mark, chord=one.chord) for mark, one in zip(exercise.chords, read, strict=True)),
        remarks=exercise.remarks + tuple(remarks),
        respelled=tuple(remarks),
    )
