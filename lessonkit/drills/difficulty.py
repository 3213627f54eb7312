"""How hard a drill is for the player's hands at the lesson's tempo: a band, its reasons in words, and where they are.

The drill is as hard as its hardest passage. A line is scored as a run; positions and solid chords are scored as
landings, each after the way the hand has come and in the time it has had for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from lessonkit.drills.exercise import Event, Exercise, Roll
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.passages import FINGERS, Kind, Passage, passages
from lessonkit.drills.reach_marks import bar_at
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.hands.difficulty import TROUBLE, Band, Difficulty, Trouble, band_of, rate_jump, rate_run
from lessonkit.hands.fingering import run_shape
from lessonkit.hands.hand import Hand
from lessonkit.hands.keyboard import SEMITONE_MM, WHITE_KEY_MM, centre_mm
from lessonkit.hands.profile import MOST_SPAN_MM, HandProfile
from lessonkit.values import dataclass

MEASURED_AT = 60
"""Passages are scored at this many beats a minute and brought to their own speed afterwards, however slow it is."""

NOTES_TO_THE_BEAT = 4
"""How many notes of a line that is no run make a beat."""


@dataclass(frozen=True, slots=True)
class DrillDifficulty:
    """How hard a drill is: a score from 0 up, and up to three sentences, the heaviest first; ``where`` is where most
    of it happens, such as ``right hand, bar 2``."""

    score: float
    reasons: tuple[str, ...]
    where: str

    @property
    def band(self) -> Band:
        """The step in which the score is shown."""
        return band_of(self.score)


@lru_cache(maxsize=1024)
def difficulty(drill: DrillFamily, setting: Setting) -> DrillDifficulty:
    """How hard a drill is for the player at the lesson's tempo; raises ValueError as ``realise`` does."""
    return max(by_hand(drill, setting).values(), key=lambda one: one.score, default=DrillDifficulty(0.0, (), ""))


@lru_cache(maxsize=1024)
def by_hand(drill: DrillFamily, setting: Setting) -> dict[Hand, DrillDifficulty]:
    """How hard a drill is for each hand that has something to do in it; raises ValueError as ``realise`` does."""
    exercise = realise(drill, setting)
    hardest: dict[Hand, DrillDifficulty] = {}
    landed: dict[Hand, Landing] = {}
    for passage in passages(exercise, drill.texture(), setting.hands):
        hand = passage.hand
        hardest.setdefault(hand, DrillDifficulty(0.0, (), ""))
        for place, score in _scores(passage, setting, landed.get(hand)):
            if score.score > hardest[hand].score:
                reasons = tuple(reason.sentence for reason in score.reasons)
                hardest[hand] = DrillDifficulty(score.score, reasons, _where(exercise, passage, place))
        landed[hand] = _landing(passage.events[-1:], hand)
    return hardest


def speed_of_run(note_length: Fraction, notes: int, tempo: int) -> float:
    """How many beats a minute a run makes when ``notes`` of its notes are a beat and quarters go at ``tempo``."""
    return float(Fraction(tempo) / 4 / note_length / notes)


class Landing(NamedTuple):
    """Where a hand lies and since when: the keys under its thumb and its little finger in millimetres, played or not,
    and the lowest key that it has struck."""

    thumb: float
    fifth: float
    lowest: int
    onset: Fraction

    def leap_to(self, other: Landing) -> float:
        """How far the hand moves, in semitones; where it only opens or closes, one end of it stays."""
        if self.lowest == other.lowest:
            return 0.0
        return min(abs(self.thumb - other.thumb), abs(self.fifth - other.fifth)) / SEMITONE_MM


def _scores(passage: Passage, setting: Setting, before: Landing | None) -> Iterator[tuple[int, Difficulty]]:
    if passage.kind is Kind.LINE and len(passage.events) > 1:
        yield from _of_line(passage, setting)
    else:
        yield from _of_landings(passage, setting, before)


def _of_line(passage: Passage, setting: Setting) -> Iterator[tuple[int, Difficulty]]:
    pitches = tuple(event.pitches[0] for event in passage.events)
    shape = run_shape(tuple(pitch.midi for pitch in pitches))
    notes = shape[1] if shape is not None and shape[1] in (3, 4) else NOTES_TO_THE_BEAT
    length = min(event.length for event in passage.events)
    fingers = [event.fingers[0] if event.fingers else None for event in passage.events]
    known = fingers if fingers.count(None) <= len(fingers) - 2 else None
    score = rate_run(pitches, passage.hand, setting.hands, MEASURED_AT, fingers=known)
    yield passage.places[0], _at_speed(score, speed_of_run(length, notes, setting.tempo))


def _of_landings(passage: Passage, setting: Setting, before: Landing | None) -> Iterator[tuple[int, Difficulty]]:
    for place, events in _landings(passage):
        pitches = tuple({pitch.midi: pitch for event in events for pitch in event.pitches}.values())
        here = _landing(events, passage.hand)
        if len(pitches) <= FINGERS and (before is None or before.lowest != here.lowest or len(pitches) > 1):
            leap = 0.0 if before is None else before.leap_to(here)
            time = events[0].length if before is None else here.onset - before.onset
            is_at_once = events[0].roll is Roll.NONE and len(events) == 1
            profile = setting.hands if is_at_once else _for_roll(setting.hands)
            score = rate_jump(pitches, passage.hand, profile, MEASURED_AT, leap, _trouble(events))
            share = 1.0 if is_at_once or len(pitches) == 1 else TROUBLE.one_by_one
            yield place, _at_speed(score, float(Fraction(setting.tempo) / 4 / time), share)
        before = here


def _landing(events: Sequence[Event], hand: Hand) -> Landing:
    """Where a hand lies that plays the events in one position."""
    side = 1 if hand is Hand.RIGHT else -1
    fingers = sorted(
        (finger or 3, pitch.midi)
        for event in events
        for pitch, finger in zip(event.pitches, event.fingers or (None,) * len(event.pitches), strict=True)
    )
    (least, inner), (most, outer) = fingers[0], fingers[-1]
    thumb = centre_mm(inner) - side * (least - 1) * WHITE_KEY_MM
    fifth = centre_mm(outer) + side * (5 - most) * WHITE_KEY_MM
    return Landing(thumb, fifth, min(midi for _, midi in fingers), events[0].onset)


def _landings(passage: Passage) -> Iterator[tuple[int, list[Event]]]:
    placed = zip(passage.places, passage.events, strict=True)
    if passage.kind is Kind.CHORDS:
        for place, event in placed:
            yield place, [event]
        return
    for _, group in groupby(placed, key=lambda item: item[1].group):
        first, *rest = group
        yield first[0], [first[1], *(event for _, event in rest)]


def _trouble(events: list[Event]) -> Trouble:
    """The prices for a landing: outer fingers on black keys count where they are the ones that play."""
    fingers = {finger for event in events for finger in event.fingers}
    return replace(
        TROUBLE,
        thumb_lands_on_black=TROUBLE.thumb_lands_on_black if 1 in fingers else 0.0,
        fifth_lands_on_black=TROUBLE.fifth_lands_on_black if 5 in fingers else 0.0,
    )


def _for_roll(profile: HandProfile) -> HandProfile:
    """A rolled chord is not held together, so that its width troubles no hand."""
    return profile.with_span(MOST_SPAN_MM)


def _at_speed(score: Difficulty, beats: float, share: float = 1.0) -> Difficulty:
    return replace(score, score=round(score.score * share * (beats / MEASURED_AT) ** TROUBLE.speed, 3))


def _where(exercise: Exercise, passage: Passage, place: int) -> str:
    key = f"{passage.key}, " if passage.key != exercise.key else ""
    return f"{key}{passage.hand.value} hand, bar {bar_at(exercise, place)}"
