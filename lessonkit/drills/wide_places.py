"""Where a hand cannot span what an exercise asks of it, and the exercise with these places rolled or lifted."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import replace

from lessonkit.drills.exercise import Event, Exercise, Roll
from lessonkit.drills.family import DrillFamily
from lessonkit.drills.passages import FINGERS, Kind, Passage, passages
from lessonkit.hands.hand import Hand
from lessonkit.hands.profile import HandProfile
from lessonkit.hands.reach import reach_in_run, reach_of_chord
from lessonkit.values import dataclass

EASED = "Where the hand does not reach, chords are rolled and the hand is lifted to the next note."


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


def wide_places(exercise: Exercise, drill: DrillFamily, profile: HandProfile) -> tuple[ReachMark, ...]:
    """Everything that hands cannot span in an exercise, in order.

    Rolled chords are not held together and may be as wide as they like.
    """
    found: list[ReachMark] = []
    for passage in passages(exercise, drill.texture(), profile):
        if passage.kind is Kind.CHORDS:
            found += _in_chords(passage, exercise, profile)
        elif passage.kind is Kind.LINE:
            found += _in_line(passage, exercise, profile)
    return tuple(sorted(found, key=lambda mark: mark.event))


def eased(exercise: Exercise, drill: DrillFamily, profile: HandProfile) -> Exercise:
    """The exercise with its wide chords rolled, and no finger on a note to which the hand has to be lifted."""
    wide = wide_places(exercise, drill, profile)
    if not wide:
        return exercise
    events = list(exercise.events)
    for mark in wide:
        event = events[mark.event]
        if len(event.pitches) > 1:
            events[mark.event] = replace(event, roll=Roll.UP)
        else:
            place = _next_note(events, mark.event)
            events[place] = replace(events[place], fingers=(None,), pinned=frozenset())
    remarks = (*exercise.remarks, EASED)
    return replace(exercise, events=tuple(events), remarks=remarks)


def bar_at(exercise: Exercise, event: int) -> int:
    """The number, from 1, of the bar in which an event begins."""
    return bisect_right([bar.onset for bar in exercise.bars], exercise.events[event].onset)


def _in_chords(passage: Passage, exercise: Exercise, profile: HandProfile) -> Iterator[ReachMark]:
    for place, event in zip(passage.places, passage.events, strict=True):
        if len(event.pitches) > FINGERS:
            names = " ".join(map(str, event.pitches))
            why = f"{names} are {len(event.pitches)} notes for the {event.hand.value} hand, which has five fingers"
            advice = ("give some to the other hand", "leave the fifth out")
            yield ReachMark(place, bar_at(exercise, place), event.hand, why, advice)
            continue
        reach = reach_of_chord(event.pitches, event.hand, profile)
        if event.roll is Roll.NONE and not reach.is_within:
            yield ReachMark(place, bar_at(exercise, place), event.hand, reach.sentence, reach.advice)


def _in_line(passage: Passage, exercise: Exercise, profile: HandProfile) -> Iterator[ReachMark]:
    pitches = [event.pitches[0] for event in passage.events]
    fingers = [event.fingers[0] for event in passage.events]
    for number in range(len(pitches) - 1):
        pair = slice(number, number + 2)
        for reach in reach_in_run(pitches[pair], fingers[pair], passage.hand, profile):
            place = passage.places[number]
            yield ReachMark(place, bar_at(exercise, place), passage.hand, reach.sentence, reach.advice)


def _next_note(events: list[Event], place: int) -> int:
    """The next note of the same hand."""
    hand = events[place].hand
    return next(
        number for number in range(place + 1, len(events)) if events[number].hand is hand and events[number].pitches
    )
