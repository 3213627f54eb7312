"""Fingers for any other line of notes: the cheapest of all fingerings, judged by three notes at a time. Right hand."""

from __future__ import annotations

import itertools
from functools import lru_cache

from lessonkit.hands.costs import key_costs, line_pair_table, opens_to
from lessonkit.hands.keyboard import SEMITONE_MM, WHOLE_TONE_MM, distance_mm, is_black
from lessonkit.hands.patterns import Ranked
from lessonkit.hands.weights import Weights

REPEATED_KEY_CHANGE = 0.6
"""The price of changing the finger on a repeated key; keeping it costs nothing."""

Pins = tuple[tuple[int, int], ...]
"""Pairs of the index of a note and the finger the teacher wrote there, in order of the index."""


def ranked_lines(keys: tuple[int, ...], span: float, weights: Weights, pins: Pins = ()) -> tuple[Ranked, ...]:
    """The cheapest fingering of a line and the best one that differs from it, if any; exact, by dynamic programming.

    The price of a note depends on its finger and the two before it. The same shape in another octave is not searched
    again.
    """
    octaves = min(keys) // 12 * 12
    return _ranked(tuple(key - octaves for key in keys), span, weights, pins)


@lru_cache(maxsize=2048)
def _ranked(keys: tuple[int, ...], span: float, weights: Weights, pins: Pins) -> tuple[Ranked, ...]:
    free = all(is_black(key) for key in keys)
    singles = [key_costs(key, free, weights) for key in keys]
    for index, finger in pins:
        singles[index] = tuple(price if finger == one else _NEVER for one, price in enumerate(singles[index], 1))
    if len(keys) == 1:
        options = sorted(
            (price + 0.1 * finger, finger + 1) for finger, price in enumerate(singles[0]) if price < _NEVER
        )
        return tuple(Ranked((finger,), price) for price, finger in options[:2])
    pairs = [_pairs(low, high, free, span, weights) for low, high in itertools.pairwise(keys)]
    triples = [_triples(*three, span, weights) for three in zip(keys, keys[1:], keys[2:], strict=False)]
    forward = _forward(singles, pairs, triples)
    best, cost = _cheapest_of(forward[-1])
    fingers = _traced(best, forward, triples)
    return (Ranked(_named(fingers), cost), *_runner_up(fingers, singles, pairs, triples, forward))


_NEVER = 1e6
"""The price of a finger that the teacher's pin rules out."""

# Fingers count from 0 inside the search. A state is the fingers of two neighbouring notes; Prices holds all 25 of them
# as prices[second][first], a Triple as triple[second][third][first].
Prices = list[tuple[float, ...]]
Table = tuple[tuple[float, ...], ...]
Triple = tuple[Table, ...]
_FIVE = range(5)


def _forward(singles: list[tuple[float, ...]], pairs: list[Table], triples: list[Triple]) -> list[Prices]:
    """For each two neighbouring notes and their fingers, the cheapest way there."""
    first, second = singles[0], singles[1]
    states: list[Prices] = [[tuple(first[one] + second[two] + pairs[0][one][two] for one in _FIVE) for two in _FIVE]]
    for single, pair, triple in zip(singles[2:], pairs[1:], triples, strict=True):
        columns = []
        for (a, b, c, d, e), row, thirds in zip(states[-1], pair, triple, strict=True):
            columns.append(
                [
                    min(a + v, b + w, c + x, d + y, e + z) + step + own
                    for (v, w, x, y, z), step, own in zip(thirds, row, single, strict=True)
                ]
            )
        states.append(list(zip(*columns, strict=True)))
    return states


def _cheapest_of(prices: Prices) -> tuple[tuple[int, int], float]:
    price, first, second = min((round(prices[two][one], 9), one, two) for two in _FIVE for one in _FIVE)
    return (first, second), price


def _traced(last: tuple[int, int], forward: list[Prices], triples: list[Triple]) -> list[int]:
    """The fingers that lead most cheaply to the last two; ``forward`` ends with the state of those two."""
    backwards = [last[1], last[0]]
    for index in range(len(forward) - 1, 0, -1):
        three, two = backwards[-2], backwards[-1]
        extra = triples[index - 1][two][three]
        ways = forward[index - 1][two]
        backwards.append(min((round(ways[one] + extra[one], 9), one) for one in _FIVE)[1])
    return backwards[::-1]


def _named(fingers: list[int]) -> tuple[int, ...]:
    return tuple(finger + 1 for finger in fingers)


def _runner_up(
    best: list[int], singles: list[tuple[float, ...]], pairs: list[Table], triples: list[Triple], forward: list[Prices]
) -> tuple[Ranked, ...]:
    """The second cheapest fingering: it leaves the best one for the last time somewhere, and all places are tried."""
    # onward[two][one]: the cheapest way from fingers one, two on notes index, index + 1 to the end of the line.
    onward: Prices = [(0.0,) * 5 for _ in _FIVE]
    kept = [onward]
    least = (_NEVER, 0, (0, 0))
    for index in range(len(forward) - 1, -1, -1):
        states = forward[index]
        for two in _FIVE:
            for one in _FIVE:
                if two != best[index + 1] or (index == 0 and one != best[0]):
                    total = states[two][one] + onward[two][one]
                    if total < least[0] - 1e-9:
                        least = (total, index, (one, two))
        if index == 0:
            break
        triple, pair, single = triples[index - 1], pairs[index], singles[index + 1]
        # ahead[two][three]: the price from note index on, given the fingers of notes index and index + 1.
        columns = list(zip(*onward, strict=True))
        ahead = [[row[three] + single[three] + columns[two][three] for three in _FIVE] for two, row in enumerate(pair)]
        onward = []
        for (a, b, c, d, e), (p, q, r, s, t) in zip(ahead, triple, strict=True):
            onward.append(
                tuple(min(a + v, b + w, c + x, d + y, e + z) for v, w, x, y, z in zip(p, q, r, s, t, strict=True))
            )
        kept.append(onward)
    total, index, pair_of = least
    if total >= _NEVER:
        return ()
    fingers = _traced(pair_of, forward[: index + 1], triples)
    while len(fingers) < len(best):
        here = len(fingers) - 1
        one, two = fingers[-2], fingers[-1]
        rest = kept[len(forward) - 1 - here]
        prices = [
            pairs[here][two][three] + singles[here + 1][three] + triples[here - 1][two][three][one] + rest[three][two]
            for three in _FIVE
        ]
        fingers.append(min(_FIVE, key=lambda three: round(prices[three], 9)))
    return (Ranked(_named(fingers), total),)


def _pairs(key: int, next_key: int, free: bool, span: float, weights: Weights) -> Table:
    return _REPEATED if key == next_key else line_pair_table(key, next_key, free, span, weights)


_REPEATED = tuple(tuple(0.0 if one == two else REPEATED_KEY_CHANGE for two in range(5)) for one in range(5))


def _triples(first: int, second: int, third: int, span: float, weights: Weights) -> Triple:
    octaves = min(first, second, third) // 12 * 12
    return _shaped_triples(first - octaves, second - octaves, third - octaves, span, weights)


@lru_cache(maxsize=16384)
def _shaped_triples(first: int, second: int, third: int, span: float, weights: Weights) -> Triple:
    """What three notes cost beyond their pairs, as ``table[middle][last][first]``, fingers from 0."""
    return tuple(
        tuple(
            tuple(_triple(one, two, three, first, second, third, span, weights) for one in range(1, 6))
            for three in range(1, 6)
        )
        for two in range(1, 6)
    )


def _triple(
    one: int, two: int, three: int, first: int, second: int, third: int, span: float, weights: Weights
) -> float:
    if first == third:
        return 0.0 if one == three else REPEATED_KEY_CHANGE
    if one == three:
        return weights.position_change
    low, high = (one, three) if first < third else (three, one)
    if low > high:
        # The thumb has passed or a finger crossed between the first and the third note; the pairs have paid for it.
        return 0.0 if 1 in (one, two, three) else weights.position_change
    far = abs(distance_mm(first, third))
    over = far - (max(opens_to(low, high, span), WHOLE_TONE_MM) if high == low + 1 else opens_to(low, high, span))
    is_one_way = (first < second) == (second < third)
    return 0.0 if over <= 0 else over / SEMITONE_MM * (weights.wide_thumb if is_one_way else 0.5 * weights.wide_thumb)
