"""Figures that drills are made of: rungs, groups of rungs, the order inside a group. Pitches only, no time."""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum

from lessonkit.theory.chord import Chord
from lessonkit.theory.pitch import OCTAVE, Interval, Pitch

Group = tuple[Pitch, ...]

UPPER_PART = ("3", "5", "7", "9")
"""The degrees of the upper part that goes over a root in the left hand."""


class Order(Enum):
    """In which order the notes of a group are played, counted from the note that comes first."""

    UP = "up"
    DOWN = "down"
    OUTSIDE_IN = "outside-in"
    CROSSED = "1-3-2-4"


class Rungs(Enum):
    """Where the notes of a chord with a ninth, eleventh or thirteenth lie on its ladder."""

    FOLDED = "within the octave"
    STACKED = "above the seventh"


def in_order(group: Sequence[Pitch], order: Order) -> Group:
    """The notes of a group, given low to high, in the order in which they are played.

    Outside-in is 1-4-2-3 in a group of four; crossed exchanges neighbours inside: 1-3-2-4, 1-3-2-5-4.
    """
    if order is Order.DOWN:
        return tuple(reversed(group))
    if order is Order.CROSSED and len(group) > 2:
        crossed = list(group)
        for place in range(1, len(group) - (1 if len(group) % 2 == 0 else 0), 2):
            if place + 1 < len(group):
                crossed[place], crossed[place + 1] = crossed[place + 1], crossed[place]
        return tuple(crossed)
    if order is Order.OUTSIDE_IN:
        last = len(group) - 1
        return tuple(group[place // 2] if place % 2 == 0 else group[last - place // 2] for place in range(len(group)))
    return tuple(group)


def mirrored(group: Sequence[Pitch], order: Order) -> Group:
    """The same figure on the way down: what was the lowest note is the highest."""
    return in_order(tuple(reversed(group)), order)


def chord_ladder(chord: Chord, inversion: int, floor: Pitch, octaves: int, rungs: Rungs, beyond: int = 0) -> Group:
    """The notes of a chord laid upward from the tone that an inversion puts lowest, at or above ``floor``.

    Within the octave a chord of n notes has ``n * octaves + 1`` rungs. Stacked above the seventh, a chord with a ninth
    repeats every two octaves; its ladder is the whole stack at least and goes no higher than the octaves say.
    ``beyond`` adds rungs above. Raises ValueError for an inversion that the chord does not have.
    """
    tones = chord.quality.tones
    if not 0 <= inversion < len(tones):
        raise ValueError(
            f"{chord} has no inversion {inversion}; its inversions run from 0 (root position) to {len(tones) - 1}"
        )
    folded = [Interval(tone.steps % 7, tone.semitones - 12 * (tone.steps // 7)) for tone in tones]
    is_stacked = rungs is Rungs.STACKED and any(tone.steps >= 7 for tone in tones)
    offsets = list(tones) if is_stacked else sorted(folded, key=lambda tone: (tone.semitones, tone.steps))
    first = offsets.index(tones[inversion] if is_stacked else folded[inversion])
    root = (chord.root + folded[inversion]).nearest_above(floor) - offsets[first]
    period = 2 if is_stacked else 1
    count = len(offsets) * octaves + 1
    if is_stacked:
        top = root.midi + offsets[first].semitones + 12 * octaves
        reached = [place for place in range(first, first + count) if _rung(root, offsets, place, period).midi <= top]
        count = max(len(offsets), len(reached))
    return tuple(_rung(root, offsets, place, period) for place in range(first, first + count + beyond))


def upper_part(chord: Chord, inversion: int, floor: Pitch) -> Group:
    """Third, fifth, seventh and ninth of a chord in close position, the inversion's note lowest, from ``floor`` up.

    A chord without a ninth gets the major one. Raises ValueError for a chord that is no seventh chord in thirds and for
    an inversion above 3.
    """
    own = {degree.lstrip("b#") for degree in chord.quality.degrees}
    missing = [degree for degree in UPPER_PART[:3] if degree not in own]
    if missing:
        raise ValueError(f"{chord} has no {missing[0]} for an upper part of 3 5 7 9; choose a seventh chord")
    if not 0 <= inversion < len(UPPER_PART):
        raise ValueError(f"the upper part of {chord} has no inversion {inversion}; its inversions run from 0 to 3")
    names = [chord.tone_for(degree) for degree in (*UPPER_PART[inversion:], *UPPER_PART[:inversion])]
    pitches = [names[0].nearest_above(floor)]
    for name in names[1:]:
        above = name.nearest_above(pitches[-1])
        pitches.append(above if above.midi > pitches[-1].midi else above.octaves_up(1))
    return tuple(pitches)


def _rung(root: Pitch, offsets: Sequence[Interval], place: int, period: int) -> Pitch:
    turns, within = divmod(place, len(offsets))
    octaves = turns * period
    return root + offsets[within] + Interval(OCTAVE.steps * octaves, OCTAVE.semitones * octaves)
