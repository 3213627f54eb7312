"""Which octave each note of a bass takes: the line moves as little as it can and stays in one register."""

from __future__ import annotations

from collections.abc import Sequence

from lessonkit.theory.pitch import Interval, NoteName, Pitch

RANGE = Interval.parse("P11")
"""How wide the register is: a line of semitone steps fits from any note, so that none is broken by an octave."""

MIDDLE = 8
"""Where the register's middle lies above its lowest note, in semitones: C♯3 over F2."""

WIDEST, WIDER_COSTS = 7, 30
"""A leap wider than a fifth counts for so many semitones more: a seventh is no stand-in for a step."""

FREE = 5
"""How far from the middle a note may lie before it weighs anything; from there its distance weighs by its square."""


def bass_line(names: Sequence[NoteName], low: Pitch, ceilings: Sequence[Pitch]) -> tuple[Pitch, ...]:
    """The notes in the octaves that make the line move least, from ``low`` up to an eleventh above.

    Each stays below its ceiling, the lowest note of the other hand, even where that is below the register. Leaps wider
    than a fifth and notes at the ends of the register are weighed against moving less.
    """
    rows = [_places(name, low, ceiling) for name, ceiling in zip(names, ceilings, strict=True)]
    best: list[tuple[int, tuple[Pitch, ...]]] = [(0, ())]
    for row in rows:
        reached = []
        for place in row:
            ways = [(cost + _step(line, place), line) for cost, line in best]
            cost, line = min(ways, key=lambda way: way[0])
            reached.append((cost + _weight(place, low), (*line, place)))
        best = reached
    return min(best, key=lambda one: one[0])[1]


def _step(line: tuple[Pitch, ...], place: Pitch) -> int:
    semitones = abs(place.midi - line[-1].midi) if line else 0
    return semitones + (WIDER_COSTS if semitones > WIDEST else 0)


def _weight(place: Pitch, low: Pitch) -> int:
    return max(0, abs(place.midi - low.midi - MIDDLE) - FREE) ** 2


def _places(name: NoteName, low: Pitch, ceiling: Pitch) -> list[Pitch]:
    """The octaves that a note may take, the lowest first: one or two of them."""
    place = name.nearest_above(low)
    while place.midi >= ceiling.midi:
        place = place.octaves_up(-1)
    above = place.octaves_up(1)
    is_within = above.midi <= low.midi + RANGE.semitones and above.midi < ceiling.midi
    return [place, above] if is_within else [place]
