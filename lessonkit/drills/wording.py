"""Plain words for the one-line summaries of drills. Lower case, no full stop."""

from __future__ import annotations

from itertools import groupby

from lessonkit.drills.family import Direction, DrillFamily, Hands
from lessonkit.theory.label_style import LabelStyle
from lessonkit.theory.progression import Progression

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


INVERSIONS = (
    "root position", "first inversion", "second inversion", "third inversion", "fourth inversion", "fifth inversion",
    "sixth inversion",
)  # fmt: skip

MOST_CHORDS_TOLD = 8
"""A longer progression is told by its bars."""


def chords_words(progression: Progression, style: LabelStyle) -> str:
    """A progression as a teacher says it: ``iim7–V7–Imaj7``, a chord that holds on once; a long one by its bars."""
    told = [roman.text(style) for roman, _ in groupby(progression.chords)]
    if len(told) > MOST_CHORDS_TOLD:
        return f"{counted(len(progression.bars), 'bar')} of chords"
    return "–".join(told)


def begun(words: str) -> str:
    """Words that begin a line, with a capital where they are words; degrees keep their small letters."""
    return words[:1].upper() + words[1:] if words.endswith("of chords") else words
