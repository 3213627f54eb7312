"""How a page can be turned behind a line of a drill: at a rest, a held note or a repeat a hand is free for it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from fractions import Fraction

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import BarEnd, Blank, Exercise
from lessonkit.pages.parting import last_bar
from lessonkit.pages.parts import Turn

LEAST_REST = Fraction(1, 4)
"""A hand that rests for so long can turn a page (common practice, no source)."""

LEAST_HELD = Fraction(1, 2)
"""A note of such a length is held (common practice, no source)."""


def turns_after(systems: Sequence[Drawing], exercise: Exercise) -> tuple[Turn, ...]:
    """How a page can be turned behind each system of a drill; behind the last one nothing is played any more.

    Where the notes are still to be written nobody plays, and what one hand plays alone the other one turns.
    """
    is_one_handed = len(exercise.hands) == 1 and Blank.RIGHT_HAND not in exercise.blank
    if len(systems) < 2 or is_one_handed or Blank.NOTES in exercise.blank:
        return (*(Turn.REST for _ in systems[1:]), *(Turn.FREE for _ in systems[:1]))
    hands = [[event for event in exercise.of(hand) if event.pitches] for hand in exercise.hands]
    # Numbers with a point are compared in a fraction of the time, and moments lie further apart than they err.
    begins = [[float(event.onset) for event in events] for events in hands]
    turns = []
    for system in systems[:-1]:
        number = last_bar(system)
        if number is None:
            turns.append(Turn.BUSY)
            continue
        bar = exercise.bars[number]
        end = bar.onset + bar.length
        before = [
            events[place - 1] if place else None
            for events, place in zip(hands, (bisect_left(one, float(end) - 1e-9) for one in begins), strict=True)
        ]
        rests = any(event is None or end - event.end >= LEAST_REST for event in before)
        holds = all(event is not None and event.end >= end and event.length >= LEAST_HELD for event in before)
        turns.append(Turn.REST if bar.end is BarEnd.REPEAT or rests or holds else Turn.BUSY)
    return (*turns, Turn.FREE)
