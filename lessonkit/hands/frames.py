"""Fingers for notes held or broken within one hand position. The same shape gets the same frame in every octave.

A frame is a set of fingers, lowest note first, chosen by exact search over all sets. Between the second finger and the
outer one the third or the fourth plays by distance: nearer to the second finger the third, nearer to the outer one the
fourth; in the middle the fourth. Keys rise, right hand; the left hand's are mirrored before they come here.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations

from lessonkit.hands.costs import key_costs, stretch_cost
from lessonkit.hands.keyboard import distance_mm, is_black
from lessonkit.hands.patterns import Fingers, Ranked
from lessonkit.hands.weights import Weights

WIDEST_WITHOUT_FIFTH_MM = 130.0
"""A frame wider than a sixth is closed by the little finger whatever the colour of its key."""

BLACK_START_MM = 61.5
"""How far apart the low black note and the white one after it may lie for 2-1: a major third."""

_UNEVEN = 6.0
"""The price of a third or fourth finger on the wrong side of the middle, at the full distance."""

_SECOND_FOR_THIRD = 0.55
"""What the second finger costs in a triad's middle, where the third belongs unless it has to open over a fourth."""

_OPEN_TOP = 0.6
"""What it costs to close a frame with another finger than the little one."""


def ranked_frames(keys: tuple[int, ...], span: float, weights: Weights, black_start: bool = False) -> tuple[Ranked, ...]:
    """All sets of fingers for one to five rising keys held together, cheapest first.

    ``black_start`` puts the printed alternative first where it applies: 2-1-2-4 for a low black note with a white one
    after it, in frames of an octave.
    """
    octaves = keys[0] // 12 * 12
    ranked = _ranked(tuple(key - octaves for key in keys), span, weights)
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
def _ranked(keys: tuple[int, ...], span: float, weights: Weights) -> tuple[Ranked, ...]:
    if len(keys) == 1:
        return tuple(Ranked((finger,), 0.1 * abs(finger - 3)) for finger in (3, 2, 4, 1, 5))
    free = all(is_black(key) for key in keys)
    options = [Ranked(fingers, _cost(fingers, keys, free, span, weights)) for fingers in combinations(range(1, 6), len(keys))]
    return tuple(sorted(options, key=lambda one: (round(one.cost, 6), tuple(-finger for finger in one.fingers))))


def _cost(fingers: Fingers, keys: tuple[int, ...], free: bool, span: float, weights: Weights) -> float:
    price = sum(key_costs(key, free, weights)[finger - 1] for finger, key in zip(fingers, keys, strict=True) if finger != 4)
    gaps = [distance_mm(low, high) for low, high in zip(keys, keys[1:], strict=False)]
    is_judged_by_share = len(keys) == 4 and fingers[:2] == (1, 2) and fingers[3] == 5
    if is_judged_by_share:
        price += stretch_cost(1, 2, gaps[0], span, weights) + stretch_cost(2, 5, gaps[1] + gaps[2], span, weights)
        share = gaps[1] / (gaps[1] + gaps[2])
        wrong_side = (0.5 - share if fingers[2] == 4 else share - 0.5) + (1e-4 if fingers[2] == 3 else 0.0)
        price += _UNEVEN * max(0.0, wrong_side)
    else:
        price += sum(
            stretch_cost(low, high, gap, span, weights) for low, high, gap in zip(fingers, fingers[1:], gaps, strict=False)
        )
    width = distance_mm(keys[0], keys[-1])
    if fingers[0] == 1 or len(keys) > 2:
        price += stretch_cost(fingers[0], fingers[-1], width, span, weights) if len(keys) > 2 else 0.0
    if len(keys) == 3 and fingers[1] == 2:
        price += _SECOND_FOR_THIRD
    if fingers[-1] != 5:
        price += _OPEN_TOP * (len(keys) > 2) + (20.0 if width > WIDEST_WITHOUT_FIFTH_MM else 0.0)
    if fingers[0] != 1:
        price += _OPEN_TOP * 2 * (len(keys) > 2) + (20.0 if width > WIDEST_WITHOUT_FIFTH_MM else 0.0)
    return price


def chained_frames(
    chords: tuple[tuple[int, ...], ...], span: float, weights: Weights, black_start: bool = False
) -> tuple[Fingers, ...]:
    """The cheapest frames for chords struck one after another: a key that stays keeps its finger where that is cheap."""
    options = [ranked_frames(keys, span, weights, black_start)[:6] for keys in chords]
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
    """What the hand does between two chords: a common key that changes its finger, a finger that crosses another's way."""
    held = dict(zip(keys, fingers, strict=True))
    return sum(
        0.35 for key, finger in zip(next_keys, next_fingers, strict=True) if key in held and held[key] != finger
    )
