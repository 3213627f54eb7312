"""Fingers for bass notes under chords: the little finger, and one finger after the other where the bass goes by step.

Common practice, no source: what is set down by itself takes the little finger, which leaves the hand open upwards.
"""

from __future__ import annotations

from itertools import pairwise

from lessonkit.hands.keyboard import WHOLE_TONE_MM, distance_mm

LITTLE_FINGER = 5
FEWEST_STEPS = 3
"""So many notes in a row, a step apart and all one way, are bound finger by finger."""


def bass_fingers(keys: tuple[int, ...]) -> tuple[int, ...]:
    """A finger for each bass note (MIDI keys); notes that are struck again keep theirs."""
    fingers: list[int] = []
    for walk in _walks(keys):
        places = {key: place for place, key in enumerate(sorted(set(walk)))}
        is_bound = FEWEST_STEPS <= len(places) <= LITTLE_FINGER
        fingers.extend(LITTLE_FINGER - places[key] if is_bound else LITTLE_FINGER for key in walk)
    return tuple(fingers)


def _walks(keys: tuple[int, ...]) -> list[list[int]]:
    """The keys parted wherever they leap or turn back."""
    walks = [[keys[0]]]
    way = 0
    for before, key in pairwise(keys):
        rise = (key > before) - (key < before)
        if abs(distance_mm(before, key)) > WHOLE_TONE_MM or (rise and way and rise != way):
            walks.append([])
            way = 0
        else:
            way = rise or way
        walks[-1].append(key)
    return walks
