"""What the grid of coverage can show along its sides, and in which words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from desktop.words import english, say
from lessonkit.curriculum.coverage import TWELVE_MAJOR, TWELVE_MINOR, Coverage
from lessonkit.curriculum.seen import ORDER, WORDS, Axis, Cell
from lessonkit.drills.exercise import Hand
from lessonkit.theory.key import Key

TITLES: dict[Axis, str] = {
    Axis.SKILL: english("Skills"),
    Axis.FAMILY: english("Drill families"),
    Axis.KEY: english("Keys"),
    Axis.QUALITY: english("Chord qualities"),
    Axis.HAND: english("Hands"),
    Axis.READING: english("Reading levels"),
}
"""The sides by their names in the window."""

DOWN: tuple[Axis, ...] = (Axis.SKILL, Axis.FAMILY, Axis.QUALITY, Axis.KEY)
ACROSS: tuple[Axis, ...] = (Axis.KEY, Axis.QUALITY, Axis.HAND, Axis.READING, Axis.FAMILY)
"""What can stand in the rows, and what above the columns."""


def values_along(coverage: Coverage, axis: Axis) -> tuple[Any, ...]:
    """What stands along a side: what comes, and of keys and hands also those that never come."""
    found = coverage.values(axis)
    if axis is Axis.KEY:
        minor = TWELVE_MINOR if any(key.is_minor for key in found) else ()
        wanted: tuple[Any, ...] = (*TWELVE_MAJOR, *minor)
    elif axis is Axis.HAND:
        wanted = tuple(Hand)
    else:
        return found
    return tuple(sorted({*found, *wanted}, key=ORDER[axis]))


def short_words(axis: Axis, values: Sequence[Any]) -> list[str]:
    """Words above columns: keys in two short lines at most, such as ``Fm``."""
    if axis is not Axis.KEY:
        return [say(WORDS[axis](value)) for value in values]
    return [_short_key(key) for key in values]


def full_words(axis: Axis, values: Sequence[Any]) -> list[str]:
    """The words in full."""
    return [say(WORDS[axis](value)) for value in values]


def cell_words(rows: Axis, columns: Axis, cell: Cell) -> str:
    """``Broken chords: solid chords, G major``."""
    return f"{say(WORDS[rows](cell[0]))}, {say(WORDS[columns](cell[1]))}"


def _short_key(key: Key) -> str:
    tonic, _, mode = str(key).partition(" ")
    if mode == "major":
        return tonic
    return f"{tonic}m" if mode == "minor" else f"{tonic}\n{mode[:3]}"
