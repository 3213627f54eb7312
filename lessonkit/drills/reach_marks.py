"""What a hand cannot span in an exercise, each with its reason and what to do instead. Nobody is told to stretch."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

from lessonkit.drills.exercise import Exercise, Roll
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.passages import FINGERS, Kind, Passage, passages
from lessonkit.drills.realise import realise
from lessonkit.drills.setting import Setting
from lessonkit.drills.wording import counted
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import reach_in_run, reach_of_chord


@dataclass(frozen=True, slots=True)
class ReachMark:
    """An event that a hand cannot span: its place in the exercise and its bar, counted from 1.

    ``sentence`` says why, ``advice`` what to do instead, the least change first.
    """

    event: int
    bar: int
    hand: Hand
    sentence: str
    advice: tuple[str, ...]


def reach_marks(drill: DrillFamily, setting: Setting) -> tuple[ReachMark, ...]:
    """Everything that the player's hands cannot span in a drill, in order; raises ValueError as ``realise`` does.

    Rolled chords are not held together and may be as wide as they like.
    """
    exercise = realise(drill, setting)
    found: list[ReachMark] = []
    for passage in passages(exercise, drill.texture(), setting.hands):
        if passage.kind is Kind.CHORDS:
            found += _in_chords(passage, exercise, setting.hands)
        elif passage.kind is Kind.LINE:
            found += _in_line(passage, exercise, setting.hands)
    return tuple(sorted(found, key=lambda mark: mark.event))


def reach_sentences(marks: tuple[ReachMark, ...]) -> tuple[str, ...]:
    """One sentence a hand for the page: the first thing that it cannot span, how many more there are, what to do."""
    sentences = []
    for hand in Hand:
        own = {mark.sentence: mark for mark in marks if mark.hand is hand}
        if own:
            first, more = next(iter(own.values())), len(own) - 1
            others = f", and {counted(more, 'other place')} {'is' if more == 1 else 'are'} too wide" if more else ""
            what = _one_of(first.advice)
            start = first.sentence[:1].upper() + first.sentence[1:]
            sentences.append(f"{start}{others}. {what[:1].upper()}{what[1:]}.")
    return tuple(sentences)


def bar_at(exercise: Exercise, event: int) -> int:
    """The number, from 1, of the bar in which an event begins."""
    return bisect_right([bar.onset for bar in exercise.bars], exercise.events[event].onset)


def _in_chords(passage: Passage, exercise: Exercise, profile: HandProfile) -> Iterator[ReachMark]:
    for place, event in zip(passage.places, passage.events, strict=True):
        bar = bar_at(exercise, place)
        if len(event.pitches) > FINGERS:
            names = " ".join(map(str, event.pitches))
            why = f"{names} are {len(event.pitches)} notes for the {event.hand.value} hand, which has five fingers"
            yield ReachMark(place, bar, event.hand, why, ("give some to the other hand", "leave the fifth out"))
            continue
        reach = reach_of_chord(event.pitches, event.hand, profile)
        if event.roll is Roll.NONE and not reach.is_within:
            yield ReachMark(place, bar, event.hand, reach.sentence, reach.advice)


def _in_line(passage: Passage, exercise: Exercise, profile: HandProfile) -> Iterator[ReachMark]:
    pitches = [event.pitches[0] for event in passage.events]
    fingers = [event.fingers[0] for event in passage.events]
    for number in range(len(pitches) - 1):
        pair = slice(number, number + 2)
        for reach in reach_in_run(pitches[pair], fingers[pair], passage.hand, profile):
            place = passage.places[number]
            yield ReachMark(place, bar_at(exercise, place), passage.hand, reach.sentence, reach.advice)


def _one_of(advice: tuple[str, ...]) -> str:
    return advice[0] if len(advice) == 1 else ", ".join(advice[:-1]) + f" or {advice[-1]}" if advice else ""
