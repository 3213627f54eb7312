"""Fingers for notes held or broken within one hand position. The same shape gets the same frame in every octave.

A frame is a set of fingers, lowest note first, chosen by exact search over all sets. Between the second finger and the
outer one the third or the fourth plays by distance: nearer to the second finger the third, nearer to the outer one the
fourth; in the middle the fourth. Keys rise, right hand; the left hand's are mirrored before they come here.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations, pairwise

from lessonkit.hands.costs import key_costs, stretch_cost
from lessonkit.hands.keyboard import SEMITONE_MM, WHITE_KEY_MM, WHOLE_TONE_MM, distance_mm, is_black
from lessonkit.hands.patterns import Fingers, Ranked
from lessonkit.hands.weights import Weights

WIDEST_WITHOUT_FIFTH_MM = 130.0
"""A frame wider than a sixth is closed by the little finger whatever the colour of its key."""

BLACK_START_MM = 61.5
"""How far apart the low black note and the white one after it may lie for 2-1: a major third."""

_MIDDLE, _MIDDLE_OF_SEVENTHS = 0.5, 0.595
"""The share of the way from the second to the little finger from which the fourth finger plays, not the third: the
middle in frames of an octave; in narrower ones, as seventh chords are, the third reaches a little further."""

_UNEVEN = 6.0
"""The price of a third or fourth finger on the wrong side of the middle, for the whole way."""

_SECOND_FOR_THIRD = 0.55
"""What the second finger costs in a triad's middle, where the third belongs unless it has to open over a fourth."""

_OPEN_TOP = 0.75
"""What it costs to close a frame with another finger than the little one."""

_THUMB_ON_BLACK = 0.3
"""The share of the thumb's price on black keys that remains where the whole hand lies in one position."""

_LITTLE_FINGER_ON_BLACK = 2.5
"""How many times the little finger's price on black keys is paid where the fourth finger lies as near."""

_LITTLE_FINGER_IN_CHORDS = 0.15
"""The same where the notes are struck together: less than ``_OPEN_TOP``, so that the little finger closes a solid chord
on a black key as well, unless the player wishes to keep it off them (common practice, no source)."""

_NO_FRAME = 20.0
"""The price of leaving the thumb or the little finger out where the frame needs it."""

_NATURAL_PAIR_MM = {
    (1, 2): 24.0, (1, 3): 50.0, (1, 4): 70.0, (1, 5): 94.0,
    (2, 3): 24.0, (2, 4): 50.0, (2, 5): 70.0, (3, 4): 24.0, (3, 5): 50.0, (4, 5): 24.0,
}  # fmt: skip
"""How wide two notes lie that a pair of fingers takes of itself: second, third, fourth, fifth and wider."""

_PAIR_WITHOUT_THUMB = 0.4
"""What a pair without the thumb costs, so that it serves where the line of the pairs asks for it."""

MAJOR_THIRD = 4
_THIRD_ON_BLACK = 1.2
"""What the thumb costs on the black key of a third with a white one: more than to leave it out, as F♯ A is taken with 2
and 4 (common practice, no source)."""

_WHOLE_HAND = 0.1
"""What a leap of pairs costs less where the hand moves on by its whole width, from 3-5 to 1-3."""

_BOTH_HOP = 0.4
"""What thirds cost more than a leap where both fingers hop, so that one third after another is bound."""

_FIVE_KEYS_MM = 98.0
"""Notes with a step among them that lie within a fifth are taken as they lie, a finger to each white key."""

_OFF_ITS_KEY = 0.3
"""The price of each white key by which a finger leaves the one that lies under it."""

_WITHOUT_THUMB, _FOURTH_MM = 0.4, 75.0
"""What a position without the thumb costs, and how wide it may be."""

_FINGER_CHANGES = 0.12
"""The price of another finger on a key that is struck again in the next chord."""

_HELD_CHANGES = 0.4
"""The same where all keys but one are struck again: the hand lies still and one finger moves."""

_PAIR_HOPS, _PAIR_TURNS, _PAIR_PASSES, _PAIR_LEAPS, _PAIR_SKIPS = 0.5, 0.7, 0.5, 1.0, 0.25
"""In pairs of notes, each a line of its own: one finger hops to the next key, a finger turns over others, the thumb
passes; and what a leap of the whole hand costs, which none of these exceeds. A step leaves no finger out but for the
last of these, so that thirds go 1-3 2-4 3-5."""

_MOST_BETWEEN = 2 * max(_PAIR_LEAPS, 5 * _FINGER_CHANGES)
"""No frame that costs more than this beyond the cheapest can be worth it for the sake of the chords beside it."""


def ranked_frames(
    keys: tuple[int, ...], span: float, weights: Weights, black_start: bool = False, is_struck: bool = False
) -> tuple[Ranked, ...]:
    """All sets of fingers for one to five rising keys held together, cheapest first.

    ``is_struck`` says that they sound together and are not broken. ``black_start`` puts the printed alternative first
    where it applies: 2-1-2-4 for a low black note with a white one after it, in frames of an octave.
    """
    octaves = keys[0] // 12 * 12
    ranked = _ranked(tuple(key - octaves for key in keys), span, weights, is_struck)
    if black_start and _begins_black(keys):
        return (Ranked((2, 1, 2, 4), ranked[0].cost), *ranked)
    return ranked


def _begins_black(keys: tuple[int, ...]) -> bool:
    return (
        len(keys) == 4
        and keys[3] - keys[0] == 12
        and is_black(keys[0])
        and not is_black(keys[1])
        and distance_mm(keys[0], keys[1]) <= BLACK_START_MM
    )


@lru_cache(maxsize=4096)
def _ranked(keys: tuple[int, ...], span: float, weights: Weights, is_struck: bool) -> tuple[Ranked, ...]:
    if len(keys) == 1:
        return tuple(Ranked((finger,), 0.1 * abs(finger - 3)) for finger in (3, 2, 4, 1, 5))
    free = all(is_black(key) for key in keys)
    little = _LITTLE_FINGER_IN_CHORDS if is_struck else _LITTLE_FINGER_ON_BLACK
    options = [
        Ranked(fingers, _cost(fingers, keys, free, span, weights, little))
        for fingers in combinations(range(1, 6), len(keys))
    ]
    return tuple(sorted(options, key=lambda one: (round(one.cost, 6), tuple(-finger for finger in one.fingers))))


def _cost(fingers: Fingers, keys: tuple[int, ...], free: bool, span: float, weights: Weights, little: float) -> float:
    gaps = [distance_mm(low, high) for low, high in pairwise(keys)]
    width = sum(gaps)
    if len(keys) == 2:
        off = width - _NATURAL_PAIR_MM[fingers[0], fingers[1]]
        price = 0.0 if fingers == (1, 5) and off > 0 else abs(off) / SEMITONE_MM
        if off > 0 and fingers[1] == fingers[0] + 1 > 2:
            price *= 2  # Neighbouring fingers other than the thumb do not open to a third.
        if fingers[0] == 1 and is_black(keys[0]) and not free and keys[1] - keys[0] <= MAJOR_THIRD:
            price += _THIRD_ON_BLACK
        return price + (_PAIR_WITHOUT_THUMB if fingers[0] != 1 else 0.0)
    if width <= _FIVE_KEYS_MM and min(gaps) <= WHOLE_TONE_MM:
        return _as_it_lies(fingers, keys, free, span, weights)
    bottom, top = key_costs(keys[0], free, weights)[fingers[0] - 1], key_costs(keys[-1], free, weights)[fingers[-1] - 1]
    price = bottom * _THUMB_ON_BLACK + (little * (top - weights.use_of_5) if fingers[-1] == 5 else _OPEN_TOP)
    if fingers[0] != 1 or (fingers[-1] != 5 and width > WIDEST_WITHOUT_FIFTH_MM):
        price += _NO_FRAME
    if len(keys) == 3 and fingers[1] == 2 and fingers[2] == 5:
        price += _SECOND_FOR_THIRD
    if len(keys) == 4 and fingers[:2] == (1, 2) and fingers[3] == 5:
        price += stretch_cost(1, 2, gaps[0], span, weights) + stretch_cost(2, 5, gaps[1] + gaps[2], span, weights)
        middle = _MIDDLE if keys[3] - keys[0] >= 12 else _MIDDLE_OF_SEVENTHS
        share = gaps[1] / (gaps[1] + gaps[2])
        is_beyond = share > middle - 1e-6
        return price + (_UNEVEN * abs(share - middle) + 1e-3 if is_beyond != (fingers[2] == 4) else 0.0)
    neighbours = zip(fingers, fingers[1:], gaps, strict=False)
    price += sum(stretch_cost(low, high, gap, span, weights) for low, high, gap in neighbours)
    return price + stretch_cost(fingers[0], fingers[-1], width, span, weights)


def _as_it_lies(fingers: Fingers, keys: tuple[int, ...], free: bool, span: float, weights: Weights) -> float:
    """The price of notes close together, of which each belongs to the finger that lies over it."""
    price = sum(key_costs(key, free, weights)[finger - 1] for key, finger in zip(keys, fingers, strict=True))
    if fingers[0] != 1:
        price += _WITHOUT_THUMB if distance_mm(keys[0], keys[-1]) <= _FOURTH_MM else _NO_FRAME
    steps = zip(fingers, fingers[1:], pairwise(keys), strict=False)
    price += sum(
        stretch_cost(low, high, distance_mm(*pair), span, weights)
        for low, high, pair in steps
        if distance_mm(*pair) > WHOLE_TONE_MM
    )
    off = (
        abs(finger - fingers[0] - distance_mm(keys[0], key) / WHITE_KEY_MM)
        for key, finger in zip(keys, fingers, strict=True)
    )
    return price + _OFF_ITS_KEY * sum(off)


def chained_frames(chords: Sequence[tuple[int, ...]], ranked: Sequence[Sequence[Ranked]]) -> tuple[Fingers, ...]:
    """The cheapest frames for chords struck one after another: a key that stays keeps its finger where cheap.

    ``ranked`` are the frames that each chord may take, cheapest first; none of them may be empty.
    """
    options = [[one for one in own if one.cost <= own[0].cost + _MOST_BETWEEN] for own in ranked]
    totals = [one.cost for one in options[0]]
    links: list[list[int]] = []
    for here in range(1, len(chords)):
        link, fresh = [], []
        for one in options[here]:
            prices = [
                total + _between(chords[here - 1], before.fingers, chords[here], one.fingers)
                for total, before in zip(totals, options[here - 1], strict=True)
            ]
            least = min(range(len(prices)), key=prices.__getitem__)
            link.append(least)
            fresh.append(prices[least] + one.cost)
        links.append(link)
        totals = fresh
    choice = min(range(len(totals)), key=totals.__getitem__)
    chosen = [choice]
    for link in reversed(links):
        chosen.append(link[chosen[-1]])
    return tuple(options[index][which].fingers for index, which in enumerate(reversed(chosen)))


def _between(keys: tuple[int, ...], fingers: Fingers, next_keys: tuple[int, ...], next_fingers: Fingers) -> float:
    """What the hand does between two chords: each common key that changes its finger is paid for.

    Pairs of notes are two lines, which the hand binds as far as it can.
    """
    if len(keys) == len(next_keys) == 2:
        is_whole_hand = {1, 5} <= {*fingers, *next_fingers} and not (1 in fingers and 5 in fingers)
        leap = _PAIR_LEAPS - (_WHOLE_HAND if is_whole_hand else 0.0)
        is_third = max(keys[1] - keys[0], next_keys[1] - next_keys[0]) <= MAJOR_THIRD
        if is_third and fingers == next_fingers and keys != next_keys:
            return leap + _BOTH_HOP
        return min(leap, sum(map(_between_notes, keys, fingers, next_keys, next_fingers)))
    held = dict(zip(keys, fingers, strict=True))
    kept = [(held[key], finger) for key, finger in zip(next_keys, next_fingers, strict=True) if key in held]
    lies_still = len(kept) == len(keys) - 1 == len(next_keys) - 1
    return (_HELD_CHANGES if lies_still else _FINGER_CHANGES) * sum(one != other for one, other in kept)


def _between_notes(key: int, finger: int, next_key: int, next_finger: int) -> float:
    """What one voice of a pair of notes costs on its way to the next pair."""
    if key == next_key:
        return 0.0 if finger == next_finger else _HELD_CHANGES
    if finger == next_finger:
        return _PAIR_HOPS
    if (next_key > key) == (next_finger > finger):
        is_step = abs(next_key - key) <= 2
        return _PAIR_SKIPS * (abs(next_finger - finger) - 1) if is_step else 0.0
    return _PAIR_PASSES if 1 in (finger, next_finger) else _PAIR_TURNS
