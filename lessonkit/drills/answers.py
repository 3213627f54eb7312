"""What machines are told of drills: plain values for JSON. Pitches in scientific names, times in whole notes."""

from __future__ import annotations

from bisect import bisect_right
from typing import Any

from lessonkit.drills.exercise import Event, Exercise
from lessonkit.drills.family import DrillFamily, families
from lessonkit.drills.params import Param
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting


def drills_answer() -> list[dict[str, Any]]:
    """Every family with its settings: name, kind, what is allowed, default, and the words that stand beside it."""
    return [
        {
            "family": code,
            "title": family.title,
            "about": family.about(),
            "settings": [_setting(name, param, family()) for name, param in family.declared().items()],
        }
        for code, family in families().items()
    ]


def notes_answer(drill: DrillFamily, setting: Setting) -> dict[str, Any]:
    """A drill worked out: its settings and, in order of time, every note and chord of each hand. Rests are left out.

    ``chord`` and ``degree`` are those that hold when the note begins, null where there is none; ``fingers`` is null
    where none was typed, ``seed`` where chance had no hand in the drill. Raises ValueError as ``realise`` does.
    """
    exercise = realise(drill, setting)
    onsets = [mark.onset for mark in exercise.chords]
    events = sorted((event for event in exercise.events if event.pitches), key=lambda event: event.onset)
    return {
        "family": drill.code,
        "key": exercise.key.ascii,
        "settings": drill.settings(),
        "events": [_event(event, exercise, bisect_right(onsets, event.onset) - 1) for event in events],
        "summary": exercise.summary,
        "seed": exercise.seed,
        "remarks": list(exercise.remarks),
    }


def _setting(name: str, param: Param, drill: DrillFamily) -> dict[str, Any]:
    return {
        "name": name,
        "kind": param.kind,
        **param.describe(),
        "default": param.plain(getattr(drill, name)),
        "label": param.label,
        "help": param.help,
        "unit": param.unit,
        "group": param.group,
    }


def _event(event: Event, exercise: Exercise, place: int) -> dict[str, Any]:
    mark = exercise.chords[place] if place >= 0 else None
    return {
        "hand": event.hand.value,
        "onset": str(event.onset),
        "length": str(event.length),
        "pitches": [pitch.ascii for pitch in event.pitches],
        "midi": [pitch.midi for pitch in event.pitches],
        "fingers": list(event.fingers) if event.fingers else None,
        "chord": mark.chord.ascii if mark else None,
        "degree": mark.degree.ascii if mark and mark.degree else None,
    }
