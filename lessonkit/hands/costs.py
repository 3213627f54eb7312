"""The price of moving from one finger to the next, in the right hand's terms. All distances are millimetres.

The left hand is priced as the right hand on mirrored keys. A pair is always priced rising: the way down is the way up
backwards, so what costs nothing going up costs nothing coming down.
"""

from __future__ import annotations

from functools import lru_cache

from lessonkit.hands.keyboard import SEMITONE_MM, WHITE_KEY_MM, WHOLE_TONE_MM, distance_mm, is_black
from lessonkit.hands.weights import Weights

REFERENCE_SPAN_MM = 205.0
"""The hand for which the openings below are meant."""

EASY_PASS_MM = 30.0
"""The thumb passes this far for nothing: a whole tone and a little more."""

FAR_PASS_MM = 60.4
"""Between the wider major thirds and the fourths; beyond it the thumb hardly passes under the fourth finger."""

LEAP = 9.0
"""The price of lifting the hand over its own fingers and setting it down anew."""

SAME_FINGER = 4.0
"""The price of one finger playing two different keys in a row."""

SKIPPED_FINGER = 0.2
"""The price of each finger that a step leaves out: neighbouring keys belong to neighbouring fingers."""

OFF_ITS_KEY = 0.02
"""What decides where nothing else does: the price of each white key by which a finger leaves the one under it."""

FOURTH_UNDER_STEP = 0.5
"""What the thumb pays more under the fourth finger where it passes by a step: scales turn under the third first."""

_OPEN_TO = {
    (1, 2): 72.0, (1, 3): 96.0, (1, 4): 120.0, (1, 5): 160.0,
    (2, 3): 20.0, (2, 4): 75.0, (2, 5): 100.0, (3, 4): 28.0, (3, 5): 44.0, (4, 5): 32.0,
}  # fmt: skip
"""How far two fingers open without effort in a hand of 205 mm (fitted by hand, from memory); thumb pairs and 2 to 5
grow with the span, neighbouring fingers open alike in all hands."""

_CLOSE_TO = {
    (1, 2): 10.0, (1, 3): 24.0, (1, 4): 40.0, (1, 5): 60.0,
    (2, 3): 12.0, (2, 4): 28.0, (2, 5): 48.0, (3, 4): 12.0, (3, 5): 28.0, (4, 5): 12.0,
}  # fmt: skip
"""How near two fingers come without bunching; hands of all sizes bunch alike."""


def _wide_price(pair: tuple[int, int], weights: Weights) -> float:
    if pair[0] == 1:
        return weights.wide_thumb
    return {
        (2, 3): weights.wide_2_3, (2, 4): weights.wide_2_4, (2, 5): weights.wide_2_5,
        (3, 4): weights.wide_3_4, (3, 5): weights.wide_3_5, (4, 5): weights.wide_4_5,
    }[pair]  # fmt: skip


def opens_to(finger: int, next_finger: int, span: float) -> float:
    """How far two fingers, the lower first, open without effort in a hand of this span."""
    grows = finger == 1 or (finger, next_finger) == (2, 5)
    return _OPEN_TO[finger, next_finger] * (span / REFERENCE_SPAN_MM if grows else 1.0)


def stretch_cost(finger: int, next_finger: int, far: float, span: float, weights: Weights) -> float:
    """The price of two fingers, the lower first, ``far`` millimetres apart."""
    over = far - opens_to(finger, next_finger, span)
    if over > 0:
        return over / SEMITONE_MM * _wide_price((finger, next_finger), weights)
    under = _CLOSE_TO[finger, next_finger] - far
    if under > 0:
        return under / SEMITONE_MM * (weights.narrow_thumb if finger == 1 else weights.narrow)
    return 0.0


def pass_cost(finger: int, low: int, high: int, is_free_on_black: bool, weights: Weights) -> float:
    """The price of the thumb passing under ``finger`` (2 to 5) on key ``low`` to the higher key ``high``."""
    far = distance_mm(low, high)
    price = (weights.pass_under_2, weights.pass_under_3, weights.pass_under_4, weights.pass_under_5)[finger - 2]
    if finger == 2:
        price += weights.far_pass_under_2 * max(0.0, far - EASY_PASS_MM) / SEMITONE_MM
        if high - low == 1 and not is_black(low) and not is_black(high):
            # Two white keys side by side without a black one between leave the thumb no room under the second finger.
            price += weights.crowded_pass
    elif finger >= 4:
        price += weights.fourth_under_4 * max(0.0, far - FAR_PASS_MM) / SEMITONE_MM
    if is_black(high) and not is_free_on_black:
        price += weights.thumb_passing_onto_black
    return price


def _rising_cost(
    finger: int, next_finger: int, low: int, high: int, free: bool, span: float, weights: Weights
) -> float:
    if finger < next_finger:
        return min(stretch_cost(finger, next_finger, distance_mm(low, high), span, weights), LEAP)
    if next_finger == 1 and finger > 1:
        return min(pass_cost(finger, low, high, free, weights), LEAP)
    if finger == next_finger:
        return SAME_FINGER + (high - low) * 0.1
    return LEAP + (high - low) * 0.05


PairTable = tuple[tuple[float, ...], ...]


@lru_cache(maxsize=8192)
def _shaped_pair_table(low: int, high: int, free: bool, span: float, weights: Weights) -> PairTable:
    return tuple(
        tuple(_rising_cost(finger, next_finger, low, high, free, span, weights) for next_finger in range(1, 6))
        for finger in range(1, 6)
    )


@lru_cache(maxsize=8192)
def _falling_pair_table(low: int, high: int, free: bool, span: float, weights: Weights) -> PairTable:
    return tuple(zip(*_shaped_pair_table(low, high, free, span, weights), strict=True))


def pair_table(key: int, next_key: int, free: bool, span: float, weights: Weights) -> PairTable:
    """The prices of all pairs of fingers on two different keys: ``table[finger - 1][next_finger - 1]``.

    ``free`` says that the thumb may take black keys for nothing, as where all keys are black. Octaves share one table.
    """
    octaves = min(key, next_key) // 12 * 12
    if key < next_key:
        return _shaped_pair_table(key - octaves, next_key - octaves, free, span, weights)
    return _falling_pair_table(next_key - octaves, key - octaves, free, span, weights)


def line_pair_table(
    key: int, next_key: int, free: bool, span: float, weights: Weights, passing: float = 0.0
) -> PairTable:
    """The prices of pairs in a line that moves by steps, scales among them; octaves share one table.

    ``passing`` is what the passing thumb costs more than in a run.
    """
    octaves = min(key, next_key) // 12 * 12
    return _shaped_line_pairs(key - octaves, next_key - octaves, free, span, weights, passing)


@lru_cache(maxsize=8192)
def _shaped_line_pairs(key: int, next_key: int, free: bool, span: float, weights: Weights, passing: float) -> PairTable:
    """The prices of pairs in a line; coming down they are those of going up, backwards."""
    if key > next_key:
        return tuple(zip(*_shaped_line_pairs(next_key, key, free, span, weights, passing), strict=True))
    table = _shaped_pair_table(key, next_key, free, span, weights)
    far = distance_mm(key, next_key)
    return tuple(
        tuple(
            _rising_pair(low, high, price, far, passing + weights.position_change) for high, price in enumerate(row, 1)
        )
        for low, row in enumerate(table, 1)
    )


def _rising_pair(low: int, high: int, price: float, far: float, passing: float) -> float:
    """The price of a rising pair of fingers: a passing thumb changes the hand's place, steps go finger by finger."""
    is_step = far <= WHOLE_TONE_MM
    if high == 1 < low:
        return price + passing + (FOURTH_UNDER_STEP if is_step and low == 4 else 0.0)
    if high <= low:
        return price
    if is_step:
        return SKIPPED_FINGER * (high - low - 1) + (price if high > low + 1 or low == 1 else 0.0)
    return price + OFF_ITS_KEY * abs(high - low - far / WHITE_KEY_MM)


@lru_cache(maxsize=1024)
def _shaped_key_costs(black: bool, free: bool, weights: Weights) -> tuple[float, ...]:
    on_black = black and not free
    return (
        weights.thumb_on_black if on_black else 0.0,
        0.0,
        0.0,
        weights.use_of_4,
        weights.use_of_5 + (weights.little_finger_on_black if on_black else 0.0),
    )


def key_costs(key: int, free: bool, weights: Weights) -> tuple[float, ...]:
    """The prices of fingers 1 to 5 on one key, whatever comes before and after."""
    return _shaped_key_costs(is_black(key), free, weights)
