"""Plain words for the one-line summaries of drills. Lower case, no full stop."""

from __future__ import annotations

from lessonkit.drills.family import Direction, DrillFamily, Hands

_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_HANDS = {Hands.RIGHT: "right hand", Hands.LEFT: "left hand", Hands.BOTH: "both hands"}


def number_word(number: int) -> str:
    """A small number in words, a larger one in figures."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def counted(number: int, noun: str) -> str:
    """``one octave``, ``two octaves``."""
    return f"{number_word(number)} {noun}{'' if number == 1 else 's'}"


def hands_words(drill: DrillFamily) -> str:
    """Who plays: ``right hand``, ``both hands``."""
    return _HANDS[drill.hands]


def range_words(drill: DrillFamily) -> str:
    """How far and which way: ``two octaves up and down``."""
    way = {Direction.UP: "up", Direction.DOWN: "down", Direction.UP_AND_DOWN: "up and down"}[drill.direction]
    return f"{counted(drill.octaves, 'octave')} {way}"
