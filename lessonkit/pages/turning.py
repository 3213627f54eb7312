"""How a page can be turned behind a line of a drill: at a rest, a held note or a repeat a hand is free for it."""

from __future__ import annotations

from fractions import Fraction

from lessonkit.drawing.shapes import Drawing
from lessonkit.drills.exercise import BarEnd, Blank, Exercise, Hand
from lessonkit.pages.parts import Turn

LEAST_REST = Fraction(1, 4)
"""A hand that rests for so long can turn a page (common practice, no source)."""

LEAST_HELD = Fraction(1, 2)
"""A note of such a length is held (common practice, no source)."""


def turn_after(system: Drawing, exercise: Exercise) -> Turn:
    """How a page can be turned behind a system that is not the last of its drill.

    Where the notes are still to be written nobody plays.
    """
    if Blank.NOTES in exercise.blank:
        return Turn.REST
    bars = [int(mark.name) for mark in system.marks if mark.kind == "bar line" and mark.name.isdigit()]
    if not bars:
        return Turn.BUSY
    bar = exercise.bars[max(bars)]
    end = bar.onset + bar.length
    hands = [_free_at(end, hand, exercise) for hand in exercise.hands]
    can_turn = bar.end is BarEnd.REPEAT or any(rests for rests, _ in hands) or all(held for _, held in hands)
    return Turn.REST if can_turn else Turn.BUSY


def _free_at(end: Fraction, hand: Hand, exercise: Exercise) -> tuple[bool, bool]:
    """Whether a hand rests up to a moment, and whether it holds its last note there."""
    before = [event for event in exercise.of(hand) if event.pitches and event.onset < end]
    if not before:
        return True, False
    last = before[-1]
    return end - last.end >= LEAST_REST, last.end >= end and last.length >= LEAST_HELD
