"""What in a drill asks for care: stretches, loud leaps, speed, the same hard shape again and again.

The limits are guidance, not medicine (common practice, no source): a hand's comfortable span as ``hands/reach`` has it,
more than six loud leaps of an octave, more than eight notes a second or four of one finger, more than eight bars of
octaves or wider chords.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from enum import Enum
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from lessonkit.drills.exercise import Event, Exercise, Roll
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.tempo_ladder import is_dotted, tempo_ladder
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import Ease, reach_of_chord

MOST_LOUD_LEAPS = 6
MOST_NOTES_A_SECOND = 8.0
MOST_STROKES_OF_A_FINGER = 4.0
MOST_WIDE_BARS = 8
OCTAVE = 12


class Strain(Enum):
    """What asks for care, in the order in which it is said."""

    STRETCH = "stretch"
    FORCE = "loud leaps"
    SPEED = "speed"
    REPETITION = "repetition"


def strains(drill: DrillFamily, setting: Setting) -> frozenset[Strain]:
    """What in a drill asks for care, at the fastest tempo that the page names; none where it cannot be written out."""
    fastest = max((setting.tempo, *(mark * (1.5 if is_dotted(drill) else 1) for mark in tempo_ladder(drill, setting))))
    return _strains(drill, replace(setting, shows_difficulty=False), fastest)


@lru_cache(maxsize=1024)
def _strains(drill: DrillFamily, setting: Setting, tempo: float) -> frozenset[Strain]:
    try:
        exercise = realise(drill, setting)
    except ValueError:
        return frozenset()
    found: set[Strain] = set()
    for hand in exercise.hands:
        sounding = [event for event in exercise.of(hand) if event.pitches]
        if _stretches(sounding, setting.hands):
            found.add(Strain.STRETCH)
        if _loud_leaps(sounding, exercise) > MOST_LOUD_LEAPS:
            found.add(Strain.FORCE)
        if _is_fast(sounding, tempo):
            found.add(Strain.SPEED)
        if _wide_bars(sounding, exercise) > MOST_WIDE_BARS:
            found.add(Strain.REPETITION)
    return frozenset(found)


def _stretches(sounding: Iterable[Event], hands: HandProfile) -> bool:
    shapes = {(event.pitches, event.hand) for event in sounding if len(event.pitches) > 1 and event.roll is Roll.NONE}
    return any(reach_of_chord(shape, hand, hands).ease is not Ease.COMFORTABLE for shape, hand in shapes)


def _loud_leaps(sounding: list[Event], exercise: Exercise) -> int:
    """How often a hand leaps an octave or more onto a note or chord that is to be loud, repeats counted."""
    loud = [(mark.onset, mark.mark in ("f", "ff")) for mark in exercise.dynamics]
    times = max((bar.times for bar in exercise.bars), default=1)
    leaps = 0
    for before, event in pairwise(sounding):
        is_loud = next((is_so for onset, is_so in reversed(loud) if onset <= event.onset), False)
        leaps += is_loud and abs(event.pitches[0].midi - before.pitches[0].midi) >= OCTAVE
    return leaps * times


def _is_fast(sounding: list[Event], tempo: float) -> bool:
    """Whether a second of it holds too many notes, or too many of one finger."""
    second = Fraction(round(tempo), 240)
    if not sounding:
        return False
    quick = [event for event in sounding if event.length * int(MOST_NOTES_A_SECOND) < second]
    # A few quick notes are an ornament; a run of them is work.
    if len(quick) > MOST_NOTES_A_SECOND:
        return True
    strokes = 0
    for before, event in pairwise(sounding):
        same = len(event.fingers) > 0 and event.fingers == before.fingers and len(event.pitches) == 1
        is_quick = same and (event.onset - before.onset) * int(MOST_STROKES_OF_A_FINGER) < second
        strokes = strokes + 1 if is_quick else 0
        if strokes > MOST_STROKES_OF_A_FINGER:
            return True
    return False


def _wide_bars(sounding: Iterable[Event], exercise: Exercise) -> Fraction:
    """How many bars' worth of octaves and wider chords a hand has, repeats counted."""
    bar = exercise.meter.bar if exercise.meter is not None else Fraction(1)
    times = max((one.times for one in exercise.bars), default=1)
    is_wide = (event for event in sounding if event.pitches[-1].midi - event.pitches[0].midi >= OCTAVE)
    return sum((event.length for event in is_wide if event.roll is Roll.NONE), Fraction(0)) * times / bar


def in_order(found: Iterable[frozenset[Strain]]) -> tuple[Strain, ...]:
    """All that several drills ask for, in the order in which it is said."""
    every = frozenset[Strain]().union(*found)
    return tuple(strain for strain in Strain if strain in every)
