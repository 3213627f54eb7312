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

PASS_IN_LINE = 0.6
"""What the passing thumb costs more in a line than in a run: a hand that can stay in its place does."""

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
    # One key alone is no passage on black keys: the thumb has no reason to be there.
    free = len(keys) > 1 and all(is_black(key) for key in keys)
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
    return (Ranked(_named(fingers), cost), *_runner_up(fingers, cost, forward, triples))


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


def _runner_up(best: list[int], cost: float, forward: list[Prices], triples: list[Triple]) -> tuple[Ranked, ...]:
    """The second cheapest fingering. It leaves the best one for the last time somewhere, and all places are tried.

    From there on it is the best one, so that the way before is all that has to be compared.
    """
    end = len(forward) - 1
    others = [
        (forward[end][two][one], end, (one, two)) for two in _FIVE for one in _FIVE if (one, two) != tuple(best[-2:])
    ]
    for index in range(end):
        here, two, three = best[index], best[index + 1], best[index + 2]
        ways, extra = forward[index][two], triples[index][two][three]
        # What follows costs both ways the same; they differ in the way to the second note and in these three notes.
        rest = cost - ways[here] - extra[here]
        others.extend((ways[one] + extra[one] + rest, index, (one, two)) for one in _FIVE if one != here)
    total, index, pair_of = min(others, key=lambda other: other[0])
    if total >= _NEVER:
        return ()
    fingers = [*_traced(pair_of, forward[: index + 1], triples), *best[index + 2 :]]
    return (Ranked(_named(fingers), total),)


def _pairs(key: int, next_key: int, free: bool, span: float, weights: Weights) -> Table:
    return _REPEATED if key == next_key else line_pair_table(key, next_key, free, span, weights, PASS_IN_LINE)


_REPEATED = tuple(tuple(0.0 if one == two else REPEATED_KEY_CHANGE for two in range(5)) for one in range(5))


def _triples(first: int, second: int, third: int, span: float, weights: Weights) -> Triple:
    octaves = min(first, second, third) // 12 * 12
    return _shaped_triples(first - octaves, second - octaves, third - octaves, span, weights)


@lru_cache(maxsize=16384)
def _shaped_triples(first: int, second: int, third: int, span: float, weights: Weights) -> Triple:
    """What three notes cost beyond their pairs, as ``table[middle][last][first]``, fingers from 0."""
    if first == third:
        return _BACK_AGAIN
    rises = first < third
    over = abs(distance_mm(first, third))
    # Turning back, the hand opens only as far as the outer notes and has time; going on, it has to carry the line.
    share = weights.wide_thumb / SEMITONE_MM * (1.0 if (first < second) == (second < third) else 0.5)
    with_thumb, without = [], []
    for three in range(1, 6):
        row, plain_row = [], []
        for one in range(1, 6):
            low, high = (one, three) if rises else (three, one)
            if low == high:
                price = plain = weights.position_change
            elif low > high:
                # The thumb has passed or a finger crossed between the first and the third note, and was paid for.
                price, plain = 0.0, 0.0 if high == 1 else weights.position_change
            else:
                price = plain = share * max(0.0, over - _line_opens_to(low, high, span))
            row.append(price)
            plain_row.append(plain)
        with_thumb.append(tuple(row))
        without.append(tuple(plain_row))
    thumb, other = tuple(with_thumb), tuple(without)
    return (thumb, other, other, other, other)


def _line_opens_to(low: int, high: int, span: float) -> float:
    """How far two fingers open in a line, in which neighbours take a whole tone without a thought."""
    return max(opens_to(low, high, span), WHOLE_TONE_MM) if high == low + 1 else opens_to(low, high, span)


_BACK_AGAIN = (tuple(tuple(0.0 if one == three else REPEATED_KEY_CHANGE for one in _FIVE) for three in _FIVE),) * 5
